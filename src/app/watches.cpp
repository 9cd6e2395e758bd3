#include "app/watches.hpp"

#include <memory>

#include "io/live/guard_watch.hpp"

namespace amphora::app {

std::string add_watches(live::Recorder& recorder, boost::asio::io_context& loop, const live::BootClock& /*clock*/,
                        const RecordPlace& place) {
    const Protection& protection = place.system.protection;
    if (!protection.guards.empty() || !protection.relays.empty()) {
        live::GuardSettings settings{.state = std::filesystem::path(place.file).replace_extension(".guards"),
                                     .days = place.days};
        recorder.add(std::make_unique<live::GuardWatch>(loop, place.system, std::move(settings)));
    }
    return {};
}

}  // namespace amphora::app

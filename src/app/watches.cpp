#include "app/watches.hpp"

#include <filesystem>
#include <memory>

#include "io/live/guard_watch.hpp"
#include "io/live/homie.hpp"

namespace amphora::app {

void add_watches(live::Recorder& recorder, boost::asio::io_context& loop, const live::BootClock& clock,
                 const RecordPlace& place) {
    const Protection& protection = place.system.protection;
    if (!protection.guards.empty() || !protection.relays.empty()) {
        live::GuardSettings settings{.state = std::filesystem::path(place.file).replace_extension(".guards"),
                                     .days = place.days};
        recorder.add(std::make_unique<live::GuardWatch>(loop, place.system, std::move(settings)));
    }
    if (!place.system.live.broker.host.empty() && place.system.live.broker.publish)
        recorder.add(std::make_unique<live::HomieOutput>(loop, clock, place.system));
}

}  // namespace amphora::app

#include "app/record_command.hpp"

#include <fmt/format.h>
#include <CLI/CLI.hpp>

#include <boost/asio/io_context.hpp>
#include <boost/asio/signal_set.hpp>
#include <csignal>
#include <cstdio>
#include <memory>

#include "app/derived_record.hpp"
#include "app/description.hpp"
#include "app/live_place.hpp"
#include "app/watches.hpp"
#include "io/live/recorder.hpp"
#include "io/live/rehearsal_clock.hpp"

namespace amphora::app {
namespace {

struct RecorderOptions {
    std::string system;
    std::string record;
    std::string socket;
    std::string rehearsal;
};

std::expected<std::unique_ptr<live::BootClock>, Exit> rehearsal_clock(const std::string& file) {
    if (file.empty()) return nullptr;
    auto clock = live::RehearsalClock::from(file);
    if (clock) return std::move(*clock);
    fmt::print(stderr, "amphora record: {}\n", clock.error());
    return std::unexpected(Exit::usage);
}

live::RecorderSettings settings_of(const RecordPlace& place, const RecorderOptions& options) {
    live::RecorderSettings settings;
    settings.files = {place.file, std::filesystem::path(place.file).replace_extension(".checkpoint"),
                      origin_of(place).fingerprint};
    settings.days = place.days;
    settings.say = [](const std::string& sentence) { fmt::print(stderr, "{}\n", sentence); };
    settings.socket = options.socket.empty() ? socket_beside(place.file) : std::filesystem::path(options.socket);
    return settings;
}

Exit record(const RecorderOptions& options) {
    const auto place = locate_record({options.system, options.record});
    if (!place) return place.error();
    if (place->system.live.sources.empty()) {
        fmt::print(stderr,
                   "amphora record: {} has no [[source]]: nothing to measure with; see docs/howto/connect-a-meter.md\n",
                   options.system);
        return Exit::config;
    }
    const auto rehearsal = rehearsal_clock(options.rehearsal);
    if (!rehearsal) return rehearsal.error();
    const live::BootClock& clock = *rehearsal ? **rehearsal : live::computer_clock();

    boost::asio::io_context loop(1);
    auto recorder = live::Recorder::open(loop, clock, place->system, settings_of(*place, options));
    if (!recorder) {
        fmt::print(stderr, "amphora record: {}\n", recorder.error());
        return Exit::unavailable;
    }
    add_watches(**recorder, loop, clock, *place);
    const auto end = [&] {
        (*recorder)->stop();
        loop.stop();
    };
    boost::asio::signal_set signals(loop, SIGINT, SIGTERM);
    signals.async_wait([&](boost::system::error_code error, int) {
        if (!error) end();
    });
    (*recorder)->start(end);
    fmt::print(stderr, "{}: measuring into {}\n", place->system.name, place->file.string());
    loop.run();
    return Exit::ok;
}

}  // namespace

Command record_command(CLI::App& program) {
    auto& command =
        add_command(program, "record", "Measure: read the sources, keep the record, watch over the guards",
                    {"amphora record --system van.toml   # until Ctrl-C; `amphora now --system van.toml` asks it"});
    auto options = std::make_shared<RecorderOptions>();
    add_description_option(command, options->system)->required();
    command.add_option("--record", options->record, "the record, if it lies elsewhere")->type_name("FILE");
    command.add_option("--socket", options->socket, "where to listen for questions; if not given, beside the record")
        ->type_name("FILE");
    command.add_option("--rehearsal-clock", options->rehearsal, "a file that says how time goes, for rehearsals")
        ->type_name("FILE")
        ->group("");
    return {&command, [options] { return record(*options); }};
}

}  // namespace amphora::app

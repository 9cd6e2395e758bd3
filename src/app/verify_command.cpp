#include "app/verify_command.hpp"

#include <fmt/core.h>

#include <memory>

#include "app/record_place.hpp"
#include "io/record/upkeep.hpp"
#include "io/text/figure.hpp"

namespace amphora::app {
namespace {

Exit verify(const RecordOptions& options) {
    const auto place = locate_record(options);
    if (!place) return place.error();
    const auto verdict = record::verify(place->file, progress_bar("verifying"));
    if (!verdict) return report(verdict.error());
    fmt::print("{}: {} in {}\n", place->file.string(), text::plain_count_of(verdict->readings, "reading"),
               text::plain_count_of(verdict->blocks, "block"));
    for (const auto& note : verdict->notes) fmt::print("note: {}\n", note);
    if (verdict->sound()) {
        fmt::print("sound: every checksum holds, the order is right, the rollups are those of the readings\n");
        return Exit::ok;
    }
    for (const auto& damage : verdict->damage) fmt::print("damaged: {}\n", damage.what);
    fmt::print(stderr,
               "Make a copy of the file before anything else. \"amphora salvage\" saves all sound blocks into a new "
               "record.\n");
    return Exit::data;
}

}  // namespace

Command verify_command(CLI::App& program) {
    auto& command =
        add_command(program, "verify", "Check that the record is whole", {"amphora verify --system van.toml"});
    auto options = std::make_shared<RecordOptions>();
    add_record_options(command, *options);
    return {&command, [options] { return verify(*options); }};
}

}  // namespace amphora::app

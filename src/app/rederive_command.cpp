#include "app/rederive_command.hpp"

#include <fmt/core.h>
#include <CLI/CLI.hpp>

#include <memory>

#include "app/derived_record.hpp"
#include "io/record/upkeep.hpp"
#include "io/text/figure.hpp"

namespace amphora::app {
namespace {

struct RederiveOptions {
    RecordOptions record;
    bool resume = false;
};

Exit rederive(const RederiveOptions& options) {
    const auto place = locate_record(options.record);
    if (!place) return place.error();
    const record::Origin origin = origin_of(*place);
    if (!options.resume) {
        if (const auto made = record::begin_afresh(place->file, place->days); !made) return report(made.error());
    }
    const auto derived = record::derive(place->file, origin, place->days, progress_bar("deriving"));
    if (!derived) return report(derived.error());
    const auto reader = record::Reader::open(place->file);
    if (!reader) return report(reader.error());
    fmt::print("{}: derived again from {}\n", place->file.string(), text::plain_count_of(reader->count(), "reading"));
    return Exit::ok;
}

}  // namespace

Command rederive_command(CLI::App& program) {
    auto& command = add_command(
        program, "rederive", "Make all that is derived from the readings again",
        {"amphora rederive --system van.toml   # after a change of the description it also happens by itself"});
    auto options = std::make_shared<RederiveOptions>();
    add_record_options(command, options->record);
    command.add_flag("--resume", options->resume, "go on where one that was broken off had come to");
    return {&command, [options] { return rederive(*options); }};
}

}  // namespace amphora::app

#include "app/compact_command.hpp"

#include <fmt/core.h>

#include <memory>

#include "app/record_place.hpp"
#include "io/record/upkeep.hpp"
#include "io/text/size.hpp"

namespace amphora::app {
namespace {

/// Of the record and the files beside it that hold its newest readings.
std::uintmax_t size_of_all(const std::filesystem::path& record) {
    std::uintmax_t size = 0;
    for (const char* part : {"", "-wal", "-tail"}) {
        std::error_code missing;
        const auto here = std::filesystem::file_size(record.string() + part, missing);
        if (!missing) size += here;
    }
    return size;
}

Exit compact(const RecordOptions& options) {
    const auto place = locate_record(options);
    if (!place) return place.error();
    const auto before = size_of_all(place->file);
    if (const auto done = record::compact(place->file); !done) return report(done.error());
    fmt::print("{}: {} before, {} now\n", place->file.string(), text::size_of(before),
               text::size_of(size_of_all(place->file)));
    return Exit::ok;
}

}  // namespace

Command compact_command(CLI::App& program) {
    auto& command =
        add_command(program, "compact", "Join small blocks of the record and give unused space back",
                    {"amphora compact --system van.toml   # loses nothing; needs room for a second copy meanwhile"});
    auto options = std::make_shared<RecordOptions>();
    add_record_options(command, *options);
    return {&command, [options] { return compact(*options); }};
}

}  // namespace amphora::app

#include "app/compact_command.hpp"

#include <fmt/core.h>

#include <memory>

#include "app/record_place.hpp"
#include "io/record/upkeep.hpp"

namespace amphora::app {
namespace {

Exit compact(const RecordOptions& options) {
    const auto place = locate_record(options);
    if (!place) return place.error();
    std::error_code missing;
    const auto before = std::filesystem::file_size(place->file, missing);
    if (const auto done = record::compact(place->file); !done) return report(done.error());
    fmt::print("{}: {:.2f} MB before, {:.2f} MB now\n", place->file.string(), static_cast<double>(before) / 1e6,
               static_cast<double>(std::filesystem::file_size(place->file)) / 1e6);
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

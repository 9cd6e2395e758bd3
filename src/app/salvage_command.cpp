#include "app/salvage_command.hpp"

#include <fmt/core.h>
#include <CLI/CLI.hpp>

#include <filesystem>
#include <memory>
#include <string>

#include "app/record_place.hpp"
#include "io/record/upkeep.hpp"
#include "io/text/figure.hpp"

namespace amphora::app {
namespace {

struct SalvageOptions {
    RecordOptions record;
    std::string to;
};

/// A write-ahead log that is left lying would be taken for the saved record's own, and hide what was saved.
void say_how_to_replace(const std::filesystem::path& damaged, const std::string& saved) {
    std::string left;
    for (const char* part : {"-wal", "-shm", "-tail"})
        if (std::filesystem::exists(damaged.string() + part)) left += " " + damaged.string() + part;
    fmt::print(stderr, "to put it in the damaged one's place, {}rename {} to {}\n",
               left.empty() ? "" : "first move away" + left + " (they belong to that one), then ", saved,
               damaged.string());
}

Exit salvage(const SalvageOptions& options) {
    const auto place = locate_record(options.record);
    if (!place) return place.error();
    const auto rescue = record::salvage(place->file, options.to, progress_bar("salvaging"));
    if (!rescue) return report(rescue.error());
    if (rescue->readings > 0)
        fmt::print("{}: {} saved\n", options.to, text::plain_count_of(rescue->readings, "reading"));
    else
        fmt::print("no reading could be saved; {} was not made\n", options.to);
    for (const auto& lost : rescue->lost) fmt::print("lost: {}\n", lost.what);
    if (rescue->lost.empty() && rescue->readings > 0) fmt::print("nothing that the record lists is lost\n");
    if (rescue->readings > 0) say_how_to_replace(place->file, options.to);
    return rescue->lost.empty() && rescue->readings > 0 ? Exit::ok : Exit::data;
}

}  // namespace

Command salvage_command(CLI::App& program) {
    auto& command = add_command(program, "salvage", "Save what a damaged record still holds into a new one",
                                {"amphora salvage --system van.toml saved.amphora   # the damaged file is not touched; "
                                 "ends with 65 if some is lost"});
    auto options = std::make_shared<SalvageOptions>();
    add_record_options(command, options->record, Bare::own);
    command.add_option("FILE", options->to, "the new record, a file that does not exist yet")
        ->required()
        ->type_name("");
    return {&command, [options] { return salvage(*options); }};
}

}  // namespace amphora::app

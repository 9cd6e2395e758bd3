#include "app/backup_command.hpp"

#include <fmt/core.h>
#include <CLI/CLI.hpp>

#include <memory>

#include "app/record_place.hpp"
#include "io/record/upkeep.hpp"
#include "io/text/size.hpp"

namespace amphora::app {
namespace {

struct BackupOptions {
    RecordOptions record;
    std::string copy;
};

Exit backup(const BackupOptions& options) {
    const auto place = locate_record(options.record);
    if (!place) return place.error();
    if (const auto done = record::backup(place->file, options.copy); !done) return report(done.error());
    fmt::print("{}: {}, complete in itself\n", options.copy, text::size_of(std::filesystem::file_size(options.copy)));
    return Exit::ok;
}

}  // namespace

Command backup_command(CLI::App& program) {
    auto& command = add_command(program, "backup", "Copy the record, also while it is being recorded",
                                {"amphora backup --system van.toml /media/stick/van-2024-10.amphora"});
    auto options = std::make_shared<BackupOptions>();
    add_record_options(command, options->record, Bare::own);
    command.add_option("FILE", options->copy, "the copy, a file that does not exist yet")->required()->type_name("");
    return {&command, [options] { return backup(*options); }};
}

}  // namespace amphora::app

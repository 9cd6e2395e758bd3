// Which record a command works on: S.amphora beside the description S.toml, unless the description or --record names
// another.
#pragma once

#include <expected>
#include <filesystem>
#include <initializer_list>
#include <string>

#include "app/exit.hpp"
#include "core/system/system.hpp"
#include "io/record/local_days.hpp"
#include "io/record/reader.hpp"
#include "io/record/record_error.hpp"

namespace CLI {
class App;
}

namespace amphora::app {

struct RecordOptions {
    std::string system;
    std::string record;
};

/// What a command takes without an option's name before it.
enum class Bare { description, own };

/// Adds --system and --record. A command that takes something of its own bare says so: the description is then only
/// what follows --system.
void add_record_options(CLI::App& command, RecordOptions& options, Bare bare = Bare::description);

struct RecordPlace {
    std::filesystem::path file;
    System system;  // defaults when only --record was given
    record::LocalDays days = record::LocalDays::utc();
};

/// Finds the record; what is wrong is said on stderr.
[[nodiscard]] std::expected<RecordPlace, Exit> locate_record(const RecordOptions& options);

/// Says the error on stderr and gives the exit code that fits.
[[nodiscard]] Exit report(const record::RecordError& error);

/// False, and said on stderr, when writing to `output` would destroy one of the files that are read.
[[nodiscard]] bool spares(const std::string& output, std::initializer_list<std::filesystem::path> read);

/// --from and --to as a span of the record: days or moments; an empty text is the record's own end.
[[nodiscard]] std::expected<record::Span, Exit> span_of(const record::Reader& reader, const std::string& from,
                                                        const std::string& to);

/// Says on stderr, which is no error, that the record has no reading in the span, and where it has some.
void say_if_empty(const record::Reader& reader, record::Span span);

/// A bar on stderr while a person watches; silent otherwise.
[[nodiscard]] std::function<void(double)> progress_bar(const std::string& what);

}  // namespace amphora::app

#include "app/export_command.hpp"

#include <fmt/core.h>
#include <CLI/CLI.hpp>

#include <cstdio>
#include <memory>
#include <string>

#include "app/record_place.hpp"
#include "io/record/plain_text.hpp"

namespace amphora::app {
namespace {

struct ExportOptions {
    RecordOptions record;
    std::string from;
    std::string to;
    std::string by = "reading";
    std::string format = "csv";
    std::string output;
};

/// Text gathered and written in large pieces.
class Output {
public:
    explicit Output(std::FILE* file) : file_(file) { text.reserve(size + 1024); }

    std::string text;

    void write_if_large() {
        if (text.size() >= size) (void)flush();
    }
    [[nodiscard]] bool flush() {
        good_ = good_ && std::fwrite(text.data(), 1, text.size(), file_) == text.size();
        text.clear();
        return good_ && std::fflush(file_) == 0;
    }

private:
    static constexpr std::size_t size = std::size_t{1} << 20U;
    std::FILE* file_;
    bool good_ = true;
};

record::Result<void> readings(const record::Reader& reader, record::Span span, record::PlainForm form, Output& out) {
    out.text += record::readings_heading(form);
    return reader.visit(span, [&](const ledger::Columns& c, std::size_t i, std::size_t end) {
        record::add_readings(out.text, c, i, end, form);
        out.write_if_large();
    });
}

record::Result<void> rollups(const record::Reader& reader, record::Span span, std::int64_t unit_us,
                             record::PlainForm form, Output& out) {
    const auto spans = reader.rollups(unit_us, span);
    if (!spans) return std::unexpected(spans.error());
    out.text += record::rollups_heading(form);
    for (const auto& r : *spans) {
        record::add_rollup(out.text, r, form);
        out.write_if_large();
    }
    return {};
}

Exit write(const ExportOptions& options, const record::Reader& reader, record::Span span, std::FILE* file) {
    Output out(file);
    const auto form = options.format == "csv" ? record::PlainForm::csv : record::PlainForm::json_lines;
    const std::int64_t unit = options.by == "minute" ? ledger::minute_us
                              : options.by == "hour" ? ledger::hour_us
                                                     : ledger::day_us;
    const auto written =
        options.by != "reading" ? rollups(reader, span, unit, form, out) : readings(reader, span, form, out);
    if (!written) return report(written.error());
    if (out.flush()) return Exit::ok;
    fmt::print(stderr, "{}: cannot be written in full; make room or name another place\n",
               options.output.empty() ? "output" : options.output);
    return Exit::io;
}

Exit export_record(const ExportOptions& options) {
    const auto place = locate_record(options.record);
    if (!place) return place.error();
    const auto reader = record::Reader::open(place->file);
    if (!reader) return report(reader.error());
    const auto span = span_of(*reader, options.from, options.to);
    if (!span) return span.error();
    say_if_empty(*reader, *span);
    if (options.output.empty()) return write(options, *reader, *span, stdout);
    if (!spares(options.output, {place->file, options.record.system})) return Exit::usage;
    std::FILE* file = std::fopen(options.output.c_str(), "wb");
    if (file == nullptr) {
        fmt::print(stderr, "{}: cannot be written; check the path\n", options.output);
        return Exit::cannot_create;
    }
    const Exit exit = write(options, *reader, *span, file);
    return std::fclose(file) == 0 ? exit : Exit::io;
}

}  // namespace

Command export_command(CLI::App& program) {
    auto& command =
        add_command(program, "export", "Write readings of the record as plain text",
                    {"amphora export --system van.toml > all.csv     # import it again: the same readings, bit for bit",
                     "amphora export --system van.toml --from 2024-07-01 --to 2024-07-31 --by hour",
                     "amphora export --system van.toml --format jsonl --output july.jsonl"});
    auto options = std::make_shared<ExportOptions>();
    add_record_options(command, options->record);
    command.add_option("--from", options->from, "first day, or moment")->type_name("DAY");
    command.add_option("--to", options->to, "last day, or the moment before which")->type_name("DAY");
    command.add_option("--by", options->by, "reading, minute, hour or day: every reading, or rolled up")
        ->check(CLI::IsMember({"reading", "minute", "hour", "day"}).description(""))
        ->type_name("WHAT");
    command.add_option("--format", options->format, "csv, or jsonl: JSON lines")
        ->check(CLI::IsMember({"csv", "jsonl"}).description(""))
        ->type_name("FORM");
    command.add_option("--output", options->output, "a file instead of the standard output")->type_name("FILE");
    return {&command, [options] { return export_record(*options); }};
}

}  // namespace amphora::app

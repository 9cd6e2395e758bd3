#include "app/export_command.hpp"

#include <fmt/core.h>

#include <charconv>
#include <cmath>
#include <cstdio>
#include <memory>
#include <string>

#include "app/record_place.hpp"

namespace amphora::app {
namespace {

struct Options {
    RecordOptions record;
    std::string from;
    std::string to;
    std::string by = "reading";
    std::string format = "csv";
    std::string output;
};

/// Lines gathered and written in large pieces.
class Lines {
public:
    explicit Lines(std::FILE* file) : file_(file) { text_.reserve(size + 1024); }
    Lines(const Lines&) = delete;
    Lines& operator=(const Lines&) = delete;
    ~Lines() { (void)flush(); }

    Lines& operator<<(std::string_view s) {
        text_ += s;
        return *this;
    }
    /// The shortest digits that give the same double again; nothing for what is missing.
    Lines& number(double v, const char* missing) {
        if (!std::isfinite(v)) return *this << missing;
        char digits[32];
        const auto end = std::to_chars(digits, digits + sizeof digits, v, std::chars_format::fixed);
        if (end.ec == std::errc{}) return *this << std::string_view(digits, static_cast<std::size_t>(end.ptr - digits));
        const auto wide = std::to_chars(digits, digits + sizeof digits, v);
        return *this << std::string_view(digits, static_cast<std::size_t>(wide.ptr - digits));
    }
    /// Unix seconds, exact: the fraction only where there is one.
    Lines& unix_time(std::int64_t us) {
        const std::int64_t whole = us / 1'000'000;
        const std::int64_t part = us % 1'000'000;
        text_ += std::to_string(whole);
        if (part != 0) text_ += fmt::format(".{:06}", part);
        return *this;
    }
    void end() {
        text_ += '\n';
        if (text_.size() >= size) (void)flush();
    }
    [[nodiscard]] bool flush() {
        good_ = good_ && std::fwrite(text_.data(), 1, text_.size(), file_) == text_.size();
        text_.clear();
        return good_ && std::fflush(file_) == 0;
    }

private:
    static constexpr std::size_t size = std::size_t{1} << 20U;
    std::FILE* file_;
    std::string text_;
    bool good_ = true;
};

record::Result<void> readings_as_csv(const record::Reader& reader, record::Span span, Lines& out) {
    (out << "time_utc,current_a,voltage_v,temperature_c").end();
    return reader.visit(span, [&](const ledger::Columns& c, std::size_t i, std::size_t end) {
        for (; i < end; ++i) {
            out.unix_time(c.time_us[i]) << ",";
            out.number(c.current[i], "") << ",";
            out.number(c.voltage[i], "") << ",";
            out.number(c.temperature[i], "").end();
        }
    });
}

record::Result<void> readings_as_json(const record::Reader& reader, record::Span span, Lines& out) {
    return reader.visit(span, [&](const ledger::Columns& c, std::size_t i, std::size_t end) {
        for (; i < end; ++i) {
            (out << "{\"time_utc\":").unix_time(c.time_us[i]) << ",\"current_a\":";
            out.number(c.current[i], "null") << ",\"voltage_v\":";
            out.number(c.voltage[i], "null") << ",\"temperature_c\":";
            (out.number(c.temperature[i], "null") << "}").end();
        }
    });
}

record::Result<void> rollups(const record::Reader& reader, record::Span span, std::int64_t unit_us, bool csv,
                             Lines& out) {
    const auto spans = reader.rollups(unit_us, span);
    if (!spans) return std::unexpected(spans.error());
    constexpr const char* names[] = {"time_utc",       "readings",          "covered_s",          "current_min_a",
                                     "current_mean_a", "current_max_a",     "voltage_min_v",      "voltage_mean_v",
                                     "voltage_max_v",  "temperature_min_c", "temperature_mean_c", "temperature_max_c",
                                     "charge_in_ah",   "charge_out_ah",     "energy_in_wh",       "energy_out_wh"};
    if (csv) {
        for (const char* name : names) out << (name == names[0] ? "" : ",") << name;
        out.end();
    }
    for (const auto& r : *spans) {
        const double values[] = {static_cast<double>(r.readings),
                                 static_cast<double>(r.covered_us) / 1e6,
                                 r.current.lowest(),
                                 r.current.mean(),
                                 r.current.highest(),
                                 r.voltage.lowest(),
                                 r.voltage.mean(),
                                 r.voltage.highest(),
                                 r.temperature.lowest(),
                                 r.temperature.mean(),
                                 r.temperature.highest(),
                                 r.in().value(),
                                 r.out().value(),
                                 r.taken_in().value(),
                                 r.given_out().value()};
        if (!csv) out << "{\"" << names[0] << "\":";
        out.unix_time(r.start_us);
        for (std::size_t i = 0; i < std::size(values); ++i) {
            if (csv)
                out << ",";
            else
                out << ",\"" << names[i + 1] << "\":";
            out.number(values[i], csv ? "" : "null");
        }
        (out << (csv ? "" : "}")).end();
    }
    return {};
}

Exit write(const Options& options, const record::Reader& reader, std::FILE* file) {
    const auto span = span_of(reader, options.from, options.to);
    if (!span) return span.error();
    Lines out(file);
    const bool csv = options.format == "csv";
    const std::int64_t unit = options.by == "minute" ? ledger::minute_us
                              : options.by == "hour" ? ledger::hour_us
                                                     : ledger::day_us;
    const auto written = options.by != "reading" ? rollups(reader, *span, unit, csv, out)
                         : csv                   ? readings_as_csv(reader, *span, out)
                                                 : readings_as_json(reader, *span, out);
    if (!written) return report(written.error());
    if (out.flush()) return Exit::ok;
    fmt::print(stderr, "{}: cannot be written in full; make room or name another place\n",
               options.output.empty() ? "output" : options.output);
    return Exit::io;
}

Exit export_record(const Options& options) {
    const auto place = locate_record(options.record);
    if (!place) return place.error();
    const auto reader = record::Reader::open(place->file);
    if (!reader) return report(reader.error());
    if (options.output.empty()) return write(options, *reader, stdout);
    std::FILE* file = std::fopen(options.output.c_str(), "wb");
    if (file == nullptr) {
        fmt::print(stderr, "{}: cannot be written; check the path\n", options.output);
        return Exit::cannot_create;
    }
    const Exit exit = write(options, *reader, file);
    return std::fclose(file) == 0 ? exit : Exit::io;
}

}  // namespace

Command export_command(CLI::App& program) {
    auto& command =
        add_command(program, "export", "Write readings of the record as plain text",
                    {"amphora export --system van.toml > all.csv     # import it again: the same readings, bit for bit",
                     "amphora export --system van.toml --from 2024-07-01 --to 2024-07-31 --by hour",
                     "amphora export --system van.toml --format jsonl --output july.jsonl"});
    auto options = std::make_shared<Options>();
    add_record_options(command, options->record);
    command.add_option("--from", options->from, "first day, or moment")->type_name("DAY");
    command.add_option("--to", options->to, "last day, or the moment before which")->type_name("DAY");
    command.add_option("--by", options->by, "every reading, or rolled up")
        ->check(CLI::IsMember({"reading", "minute", "hour", "day"}));
    command.add_option("--format", options->format, "csv, or JSON lines")->check(CLI::IsMember({"csv", "jsonl"}));
    command.add_option("--output", options->output, "a file instead of the standard output")->type_name("FILE");
    return {&command, [options] { return export_record(*options); }};
}

}  // namespace amphora::app

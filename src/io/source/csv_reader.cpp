#include "io/source/csv_reader.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <utility>

namespace amphora::source {
namespace {

constexpr std::size_t batch_size = 4096;

bool is_blank(std::string_view line) { return line.find_first_not_of(" \t\r") == std::string_view::npos; }
bool is_comment(std::string_view line) { return line.starts_with('#'); }

std::string_view without_byte_order_mark(std::string_view line) {
    if (line.starts_with("\xEF\xBB\xBF")) line.remove_prefix(3);
    return line;
}

bool is_utf16(std::string_view line) { return line.starts_with("\xFF\xFE") || line.starts_with("\xFE\xFF"); }

std::unexpected<SourceError> failure(SourceFault fault, const std::string& log, std::string_view what) {
    return std::unexpected(SourceError{fault, fmt::format("{}: {}", log, what)});
}

// The header line, with what comes before it passed over and counted.
std::expected<std::string, SourceError> find_header(LineSplitter& lines, const std::string& log, CsvReport& report) {
    std::string_view line;
    while (lines.next(line)) {
        if (lines.number() == 1 && is_utf16(line))
            return failure(SourceFault::not_text, log, "UTF-16; save it as UTF-8");
        if (lines.number() == 1) line = without_byte_order_mark(line);
        if (lines.too_long())
            return failure(SourceFault::not_text, log, "no line end in the first 64 KiB; this is no CSV log");
        if (is_blank(line))
            ++report.blank;
        else if (is_comment(line))
            ++report.comments;
        else
            return std::string(line);
    }
    if (const auto& error = lines.error()) return std::unexpected(*error);
    return failure(SourceFault::no_header, log, "empty; expected a header such as \"time_utc,current_a,voltage_v\"");
}

// The current for a millivolt of the shunt's drop; 0 if the log has no such column.
std::expected<double, SourceError> shunt_scale(const CsvHeader& header, const System& system, const std::string& log,
                                               CsvReport& report) {
    if (std::ranges::find(header.columns, Column::shunt) == header.columns.end()) return 0.0;
    const auto rated = std::ranges::find_if(system.meters, [](const Meter& meter) {
        return meter.rated_current.known() && meter.rated_drop.known() && meter.rated_drop.value() > 0;
    });
    if (rated == system.meters.end())
        return failure(
            SourceFault::no_rated_pair, log,
            "shunt_mv needs the shunt's rated pair; give rated_current_a and rated_drop_mv of a [[meter]] in "
            "the description");
    report.notes.push_back(fmt::format("current from shunt_mv by the rated pair of meter \"{}\": {:g} A at {:g} mV",
                                       rated->name, rated->rated_current.value(), rated->rated_drop.value() * 1e3));
    return rated->current(Volt(1e-3)).value();
}

}  // namespace

CsvReader::CsvReader(std::unique_ptr<ByteInput> input, LineSplitter lines, std::string header_line,
                     const CsvHeader& header, double amperes_per_millivolt, CsvReport report)
    : input_(std::move(input)),
      lines_(std::move(lines)),
      header_line_(std::move(header_line)),
      names_(header.names),
      row_(header, amperes_per_millivolt),
      batch_(batch_size),
      report_(std::move(report)) {}

std::expected<CsvReader, SourceError> CsvReader::open(std::unique_ptr<ByteInput> input, const System& system) {
    const auto log = input->name();
    CsvReport report;
    LineSplitter lines(*input);
    auto line = find_header(lines, log, report);
    if (!line) return std::unexpected(std::move(line.error()));
    const auto header = read_csv_header(*line, log);
    if (!header) return std::unexpected(header.error());
    report.notes = header->notes;
    const auto scale = shunt_scale(*header, system, log, report);
    if (!scale) return std::unexpected(scale.error());
    return CsvReader(std::move(input), std::move(lines), *std::move(line), *header, *scale, std::move(report));
}

std::expected<std::span<const Reading>, SourceError> CsvReader::next() {
    std::size_t count = 0;
    std::string_view line;
    while (count < batch_.size() && lines_.next(line)) {
        if (line.empty() || is_comment(line) || lines_.too_long()) {
            pass_over(line, {});
            continue;
        }
        const auto fault = row_.read(line, batch_[count]);
        if (fault.fault == LineFault::none)
            ++count;
        else
            pass_over(line, fault);
    }
    if (const auto& error = lines_.error(); error && count == 0) return std::unexpected(*error);
    report_.readings += count;
    return std::span(batch_).first(count);
}

// Counts a line that gave no reading.
void CsvReader::pass_over(std::string_view line, const RowFault& fault) {
    const bool too_long = lines_.too_long();
    if (!too_long && is_blank(line)) {
        ++report_.blank;
    } else if (!too_long && is_comment(line)) {
        ++report_.comments;
    } else if (!too_long && line == header_line_) {
        ++report_.repeated_headers;
    } else {
        ++report_.bad;
        if (report_.first_bad.size() == bad_lines_kept) return;
        const bool in_cell = !too_long && fault.column < names_.size();
        report_.first_bad.push_back({lines_.number(), too_long ? LineFault::too_long : fault.fault,
                                     in_cell ? names_[fault.column] : "", excerpt(fault.cell)});
    }
}

}  // namespace amphora::source

#include "io/intake/log_reader.hpp"

#include <fmt/core.h>
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <nlohmann/json.hpp>
#include <optional>
#include <string_view>

#include "io/intake/time_text.hpp"
#include "io/source/bad_line.hpp"
#include "io/source/csv_cell.hpp"
#include "io/source/decimal.hpp"
#include "io/source/line_splitter.hpp"

namespace amphora::intake {
namespace {

constexpr std::size_t bad_lines_kept = 5;
constexpr std::size_t slots = 5;  // date, time of day, current, voltage, temperature

/// Text * scale + offset, exact where the scale is one in a whole number: 13270 mV are 13.27 V and nothing else.
class Conversion {
public:
    explicit Conversion(const ValueColumn& value) : scale_(value.scale), offset_(value.offset) {
        const double inverse = std::round(1.0 / value.scale);
        if (std::abs(inverse) > 1.0 && std::abs(inverse * value.scale - 1.0) < 1e-12) divisor_ = inverse;
    }
    [[nodiscard]] double operator()(double text) const {
        const double scaled = divisor_ != 0.0 ? text / divisor_ : scale_ == 1.0 ? text : text * scale_;
        return offset_ == 0.0 ? scaled : scaled + offset_;
    }

private:
    double scale_;
    double offset_;
    double divisor_ = 0.0;
};

std::vector<std::string_view> cells_of(std::string_view line, char delimiter) {
    std::vector<std::string_view> cells;
    for (;;) {
        const auto length = source::cell_length(line, delimiter);
        const std::size_t end = length ? *length : std::min(line.find(delimiter), line.size());
        cells.push_back(source::bare_cell(line.substr(0, end)));
        if (end == line.size()) return cells;
        line.remove_prefix(end + 1);
    }
}

/// A number, its decimal comma turned into a point if need be; nothing when it is none.
std::optional<double> number_of(std::string_view cell, bool decimal_comma) {
    std::string copy;
    if (decimal_comma && cell.find(',') != std::string_view::npos) {
        copy = cell;
        std::ranges::replace(copy, ',', '.');
        cell = copy;
    }
    const auto number = source::read_decimal(cell.data(), cell.data() + cell.size());
    const bool whole = number.fault == source::NumberFault::none && number.end == cell.data() + cell.size();
    return whole ? std::optional(number.value) : std::nullopt;
}

std::string_view without_mark(std::string_view line) {
    return line.starts_with("\xEF\xBB\xBF") ? line.substr(3) : line;
}

}  // namespace

class LogReader::Parts {
public:
    Parts(std::unique_ptr<source::ByteInput> input, Mapping mapping, TimeText time)
        : mapping_(std::move(mapping)), input_(std::move(input)), lines_(*input_), time_(std::move(time)) {
        add_name(mapping_.time_columns[0]);
        add_name(mapping_.time_columns.size() > 1 ? mapping_.time_columns[1] : "");
        for (const auto* value : {&mapping_.current, &mapping_.voltage, &mapping_.temperature}) {
            add_name(*value ? (*value)->column : "");
            conversions_.emplace_back(*value ? **value : ValueColumn{});
        }
    }

    /// Reads up to the header and finds the columns in it; an error message, or none.
    std::string find_columns() {
        if (mapping_.json_lines) return {};
        std::string_view line;
        for (unsigned i = 0; i < mapping_.skip_lines; ++i)
            if (!lines_.next(line)) return "the log ends before its header";
        if (!mapping_.header) return columns_by_number();
        do {
            if (!lines_.next(line)) return "there is no header";
        } while (without_mark(line).find_first_not_of(" \t") == std::string_view::npos);
        header_ = std::string(without_mark(line));
        const auto cells = cells_of(header_, mapping_.delimiter);
        for (std::size_t s = 0; s < slots; ++s) {
            if (names_[s].empty()) continue;
            const auto found = std::ranges::find(cells, std::string_view(names_[s]));
            if (found == cells.end())
                return fmt::format("there is no column \"{}\"; the header has {}", names_[s], fmt::join(cells, ", "));
            columns_[s] = static_cast<std::size_t>(found - cells.begin());
        }
        return {};
    }

    std::expected<std::vector<Reading>, std::string> next(std::size_t most) {
        std::vector<Reading> readings;
        readings.reserve(std::min<std::size_t>(most, 65536));
        std::string_view line;
        while (readings.size() < most && lines_.next(line)) {
            line = without_mark(line);
            if (line.empty() || line.front() == '#' || line.find_first_not_of(" \t") == std::string_view::npos ||
                line == header_)
                continue;
            ++report_.lines;
            Reading reading;
            const char* fault = lines_.too_long()     ? "longer than 64 KiB"
                                : mapping_.json_lines ? read_json(line, reading)
                                                      : read_cells(line, reading);
            if (fault != nullptr) {
                pass_over(line, fault);
                continue;
            }
            ++report_.readings;
            report_.sign.push(reading);
            readings.push_back(reading);
        }
        if (lines_.error()) return std::unexpected(lines_.error()->message);
        return readings;
    }

    [[nodiscard]] const LogReport& report() const { return report_; }
    [[nodiscard]] std::uint64_t bytes_read() const { return lines_.bytes_read(); }

private:
    void add_name(std::string name) {
        names_.push_back(std::move(name));
        columns_.emplace_back();
    }

    std::string columns_by_number() {
        for (std::size_t s = 0; s < slots; ++s) {
            if (names_[s].empty()) continue;
            const auto number = number_of(names_[s], false);
            if (!number || *number < 1 || *number > 10'000)
                return fmt::format("without a header a column is named by its number, not \"{}\"", names_[s]);
            columns_[s] = static_cast<std::size_t>(*number) - 1;
        }
        return {};
    }

    const char* read_cells(std::string_view line, Reading& reading) {
        // Walks the line once, keeping the cells that are mapped.
        std::array<std::string_view, slots> found{};
        std::size_t index = 0;
        std::size_t at = 0;
        for (;; ++index) {
            std::size_t end = at;
            if (at < line.size() && line[at] == '"') {
                const auto length = source::cell_length(line.substr(at), mapping_.delimiter);
                if (!length) return "a quote is not closed";
                end = at + *length;
            } else {
                end = std::min(line.find(mapping_.delimiter, at), line.size());
            }
            for (std::size_t s = 0; s < slots; ++s)
                if (columns_[s] == index) found[s] = source::bare_cell(line.substr(at, end - at));
            if (end == line.size()) break;
            at = end + 1;
        }
        for (std::size_t s = 0; s < slots; ++s)
            if (columns_[s] && *columns_[s] > index) return "too few cells";
        return take(found, reading);
    }

    const char* read_json(std::string_view line, Reading& reading) {
        const auto object = nlohmann::json::parse(line, nullptr, false);
        if (!object.is_object()) return "not a JSON object";
        std::array<std::string, slots> texts;
        std::array<std::string_view, slots> found{};
        for (std::size_t s = 0; s < slots; ++s) {
            if (names_[s].empty()) continue;
            const auto value = object.find(names_[s]);
            if (value == object.end() || value->is_null()) continue;
            texts[s] = value->is_string() ? value->get<std::string>() : value->dump();
            found[s] = texts[s];
        }
        return take(found, reading);
    }

    const char* take(const std::array<std::string_view, slots>& cells, Reading& reading) {
        std::optional<Instant> at;
        if (names_[1].empty()) {
            at = time_.read(cells[0]);
        } else {
            joined_.assign(cells[0]).append(" ").append(cells[1]);
            at = time_.read(joined_);
        }
        if (!at) return cells[0].empty() ? "there is no time" : "the time does not fit the format";
        reading.at = *at;
        std::array<double, 3> values{};
        for (std::size_t v = 0; v < 3; ++v) {
            values[v] = std::numeric_limits<double>::quiet_NaN();
            if (names_[v + 2].empty() || source::says_missing(cells[v + 2])) continue;
            const auto number = number_of(cells[v + 2], mapping_.decimal_comma);
            if (!number) return "not a number";
            if (std::abs(*number) > source::largest_value) return "a number that no meter gives";
            values[v] = conversions_[v](*number);
        }
        reading.current = Ampere(values[0]);
        reading.voltage = Volt(values[1]);
        reading.temperature = Celsius(values[2]);
        return nullptr;
    }

    void pass_over(std::string_view line, const char* why) {
        ++report_.bad;
        if (report_.first_bad.size() < bad_lines_kept)
            report_.first_bad.push_back({lines_.number(), why, source::excerpt(line)});
    }

    Mapping mapping_;
    std::unique_ptr<source::ByteInput> input_;
    source::LineSplitter lines_;
    TimeText time_;
    std::string header_;
    std::vector<std::string> names_;
    std::vector<std::optional<std::size_t>> columns_;
    std::vector<Conversion> conversions_;
    std::string joined_;
    LogReport report_;
};

LogReader::LogReader(std::unique_ptr<Parts> parts) : parts_(std::move(parts)) {}
LogReader::~LogReader() = default;
LogReader::LogReader(LogReader&&) noexcept = default;
LogReader& LogReader::operator=(LogReader&&) noexcept = default;

std::expected<LogReader, std::string> LogReader::open(std::unique_ptr<source::ByteInput> input,
                                                      const Mapping& mapping) {
    if (mapping.time_columns.empty()) return std::unexpected("the mapping names no column of times");
    auto time = TimeText::of(mapping.time_format, mapping.zone);
    if (!time)
        return std::unexpected(fmt::format("there is no time zone \"{}\"; name one as Europe/Lisbon", mapping.zone));
    const std::string name = input->name();
    auto parts = std::make_unique<Parts>(std::move(input), mapping, std::move(*time));
    if (const auto fault = parts->find_columns(); !fault.empty())
        return std::unexpected(fmt::format("{}: {}", name, fault));
    return LogReader(std::move(parts));
}

std::expected<std::vector<Reading>, std::string> LogReader::next(std::size_t most) { return parts_->next(most); }
const LogReport& LogReader::report() const { return parts_->report(); }
std::uint64_t LogReader::bytes_read() const { return parts_->bytes_read(); }

}  // namespace amphora::intake

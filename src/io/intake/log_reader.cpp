#include "io/intake/log_reader.hpp"

#include <fmt/core.h>
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <nlohmann/json.hpp>
#include <optional>
#include <string_view>

#include "io/intake/cells.hpp"
#include "io/intake/conversion.hpp"
#include "io/intake/json_line.hpp"
#include "io/intake/series_join.hpp"
#include "io/intake/time_text.hpp"
#include "io/source/bad_line.hpp"
#include "io/source/csv_cell.hpp"
#include "io/source/line_splitter.hpp"

namespace amphora::intake {
namespace {

constexpr std::size_t bad_lines_kept = 5;
/// What may be mapped, in this order: date, time of day, words, the name and the value of a series, numbers.
enum Slot : std::uint8_t {
    date,
    clock,
    out_when,
    only,
    series,
    value,
    current,
    discharge,
    power,
    voltage,
    temperature,
    slots
};
constexpr std::size_t first_number = current;
constexpr std::string_view of_another_meter = "of another meter";
static_assert(slots <= SeriesJoin::most_quantities);

using Values = std::array<double, slots>;

std::string_view without_mark(std::string_view line) {
    return line.starts_with("\xEF\xBB\xBF") ? line.substr(3) : line;
}

bool is_blank(std::string_view line) { return line.find_first_not_of(" \t\r") == std::string_view::npos; }
bool is_comment(std::string_view line) {
    return line.starts_with('#') || line.starts_with("//") || line.starts_with('%');
}

}  // namespace

class LogReader::Parts {
public:
    Parts(std::unique_ptr<source::ByteInput> input, Mapping mapping, TimeText time)
        : mapping_(std::move(mapping)), input_(std::move(input)), lines_(*input_), time_(std::move(time)) {
        names_[date] = mapping_.time_columns[0];
        if (mapping_.time_columns.size() > 1) names_[clock] = mapping_.time_columns[1];
        if (mapping_.out_when) names_[out_when] = mapping_.out_when->column;
        if (mapping_.only) names_[only] = mapping_.only->column;
        if (mapping_.series) {
            names_[series] = mapping_.series->name;
            names_[value] = mapping_.series->value;
            join_.emplace(Second(mapping_.series->hold_s));
        }
        const bool has_current = mapping_.current || mapping_.discharge || mapping_.power;
        const std::array numbers{&mapping_.current, &mapping_.discharge, &mapping_.power, &mapping_.voltage,
                                 &mapping_.temperature};
        for (std::size_t i = 0; i < numbers.size(); ++i) {
            if (!*numbers[i]) continue;
            (mapping_.series ? series_ : names_)[first_number + i] = (*numbers[i])->column;
            conversions_[first_number + i] = Conversion(**numbers[i]);
            const std::size_t slot = first_number + i;
            if (join_) join_->expect(slot, slot == voltage ? !has_current : slot != temperature);
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
        } while (is_blank(without_mark(line)));
        header_ = std::string(without_mark(line));
        const auto bare = std::string_view(header_).substr(std::min(header_.find_first_not_of("# "), header_.size()));
        const auto cells = cells_of(bare, mapping_.delimiter);
        for (std::size_t s = 0; s < slots; ++s) {
            if (names_[s].empty()) continue;
            const auto found = std::ranges::find(cells, names_[s]);
            if (found == cells.end() && number_of_column(names_[s], cells.size() + 1))
                wanted_.push_back({*number_of_column(names_[s], cells.size() + 1) - 1, s});
            else if (found == cells.end())
                return fmt::format("there is no column \"{}\"; the header has {}", names_[s],
                                   source::excerpt(fmt::format("{}", fmt::join(cells, ", "))));
            else
                wanted_.push_back({static_cast<std::size_t>(found - cells.begin()), s});
        }
        std::ranges::sort(wanted_, {}, &Wanted::column);
        for (unsigned i = 0; i < mapping_.lines_below_header; ++i) (void)lines_.next(line);
        return {};
    }

    std::expected<std::vector<Reading>, std::string> next(std::size_t most) {
        std::vector<Reading> readings;
        readings.reserve(std::min<std::size_t>(most, 65536));
        while (readings.size() < most) {
            if (join_) {
                if (const auto moment = join_->next()) {
                    add(reading_at(*moment), readings);
                    continue;
                }
                if (!join_->error().empty()) return std::unexpected(join_->error());
            }
            if (ended_) break;
            read_line(readings);
        }
        if (lines_.error()) return std::unexpected(lines_.error()->message);
        return readings;
    }

    [[nodiscard]] const LogReport& report() const { return report_; }
    [[nodiscard]] std::uint64_t bytes_read() const { return lines_.bytes_read(); }

private:
    using Texts = std::array<std::string_view, slots>;
    struct Wanted {
        std::size_t column;
        std::size_t slot;
    };

    static std::optional<std::size_t> number_of_column(const std::string& name, std::size_t most) {
        const auto number = number_in(name, false);
        if (!number || number->unit || number->value < 1 || number->value > static_cast<double>(most) ||
            number->value != std::floor(number->value))
            return std::nullopt;
        return static_cast<std::size_t>(number->value);
    }

    std::string columns_by_number() {
        for (std::size_t s = 0; s < slots; ++s) {
            if (names_[s].empty()) continue;
            const auto number = number_of_column(names_[s], 10'000);
            if (!number) return fmt::format("without a header a column is named by its number, not \"{}\"", names_[s]);
            wanted_.push_back({*number - 1, s});
        }
        std::ranges::sort(wanted_, {}, &Wanted::column);
        return {};
    }

    /// Adds the reading of the next line, where each line is one.
    void read_line(std::vector<Reading>& readings) {
        std::string_view line;
        if (!lines_.next(line)) {
            ended_ = true;
            if (join_) join_->end();
            return;
        }
        line = without_mark(line);
        if (mapping_.json_lines) line = bare_object(line);
        if (is_blank(line) || is_comment(line) || line == header_) return;
        ++report_.lines;
        Reading reading;
        const std::string_view fault = lines_.too_long()     ? "longer than 64 KiB"
                                       : mapping_.json_lines ? read_json(line, reading)
                                                             : read_cells(line, reading);
        if (!fault.empty()) return pass_over(line, fault);
        if (!join_) add(reading, readings);
    }

    std::string_view read_cells(std::string_view line, Reading& reading) {
        // Walks the line once, up to the last cell that is mapped.
        Texts found{};
        auto next = wanted_.begin();
        bool open_quote = false;
        std::string_view cell;
        for (std::size_t index = 0; next != wanted_.end(); ++index) {
            if (!take_cell(line, mapping_.delimiter, cell, open_quote)) return "too few cells";
            for (; next != wanted_.end() && next->column == index; ++next) found[next->slot] = cell;
        }
        if (open_quote) return "a quote is not closed";
        return take(found, reading);
    }

    std::string_view read_json(std::string_view line, Reading& reading) {
        const auto object = nlohmann::json::parse(line, nullptr, false);
        if (!object.is_object()) return "not a JSON object";
        std::array<std::string, slots> texts;
        Texts found{};
        for (std::size_t s = 0; s < slots; ++s) {
            if (names_[s].empty()) continue;
            texts[s] = text_at(object, names_[s]);
            found[s] = texts[s];
        }
        return take(found, reading);
    }

    void add(const Reading& reading, std::vector<Reading>& readings) {
        ++report_.readings;
        report_.sign.push(reading);
        readings.push_back(reading);
    }

    std::string_view take(const Texts& cells, Reading& reading) {
        if (mapping_.only && std::ranges::find(mapping_.only->words, cells[only]) == mapping_.only->words.end())
            return of_another_meter;
        std::optional<Instant> at;
        if (names_[clock].empty()) {
            at = time_.read(cells[date]);
        } else {
            joined_.assign(cells[date]).append(" ").append(cells[clock]);
            at = time_.read(joined_);
        }
        if (!at) return cells[date].empty() ? "there is no time" : "the time does not fit the format";
        reading.at = *at;
        if (join_) return take_series(cells, *at);
        Values values{};
        for (std::size_t s = first_number; s < slots; ++s) {
            if (const auto fault = read_number(names_[s].empty() ? std::string_view() : cells[s], s, values[s]);
                !fault.empty())
                return fault;
        }
        fill(reading, values, cells[out_when]);
        return {};
    }

    /// NaN where the cell says nothing; what is wrong with it, or nothing.
    std::string_view read_number(std::string_view cell, std::size_t slot, double& read) {
        read = std::numeric_limits<double>::quiet_NaN();
        if (cell.empty()) return {};
        const auto number = number_in(cell, mapping_.decimal_comma);
        if (!number && says_beyond(cell)) {
            ++report_.beyond;
            return {};
        }
        if (!number) return says_nothing(cell) ? std::string_view() : "not a number";
        if (std::abs(number->value) > source::largest_value) return "a number that no meter gives";
        read = conversions_[slot](*number);
        return {};
    }

    /// One value at that moment.
    std::string_view take_series(const Texts& cells, Instant at) {
        const auto slot = static_cast<std::size_t>(std::ranges::find(series_, cells[series]) - series_.begin());
        if (slot == slots || cells[series].empty()) return of_another_meter;
        double read = 0.0;
        if (const auto fault = read_number(cells[value], slot, read); !fault.empty()) return fault;
        join_->put(slot, read, at);
        return {};
    }

    [[nodiscard]] Reading reading_at(const SeriesJoin::Moment& moment) const {
        Reading reading;
        reading.at = moment.at;
        Values values{};
        std::copy_n(moment.values.begin(), slots, values.begin());
        fill(reading, values, {});
        return reading;
    }

    void fill(Reading& reading, const Values& values, std::string_view word) const {
        reading.current = Ampere(current_of(values, word));
        reading.voltage = Volt(values[voltage]);
        reading.temperature = Celsius(values[temperature]);
    }

    [[nodiscard]] double current_of(const Values& values, std::string_view word) const {
        double amperes = values[current];
        if (mapping_.discharge && !std::isnan(values[discharge]))
            amperes = (std::isnan(amperes) ? 0.0 : amperes) - values[discharge];
        if (mapping_.power && std::isnan(amperes) && values[voltage] > 0.0) amperes = values[power] / values[voltage];
        const bool out =
            mapping_.out_when && std::ranges::find(mapping_.out_when->words, word) != mapping_.out_when->words.end();
        return out ? -amperes : amperes;
    }

    void pass_over(std::string_view line, std::string_view why) {
        if (why == of_another_meter) {
            --report_.lines;
            ++report_.others;
            return;
        }
        ++report_.bad;
        if (report_.first_bad.size() < bad_lines_kept)
            report_.first_bad.push_back({lines_.number(), std::string(why), source::excerpt(line)});
    }

    Mapping mapping_;
    std::unique_ptr<source::ByteInput> input_;
    source::LineSplitter lines_;
    TimeText time_;
    std::string header_;
    std::array<std::string, slots> names_;   // of columns
    std::array<std::string, slots> series_;  // of quantities, where each line holds one
    std::optional<SeriesJoin> join_;
    bool ended_ = false;
    std::vector<Wanted> wanted_;  // in the order of the columns
    std::array<Conversion, slots> conversions_;
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
    if (!mapping.starts_at.empty()) {
        auto start = TimeText::of("rfc3339", mapping.zone);
        auto moment = start->read(mapping.starts_at);
        if (!moment) moment = start->read(mapping.starts_at + ":00");
        if (!moment)
            return std::unexpected(
                fmt::format("starts_at = \"{}\" is no moment; write it as 2026-05-01T08:00:00", mapping.starts_at));
        time->count_from(*moment);
    }
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

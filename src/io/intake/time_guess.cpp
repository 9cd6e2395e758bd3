#include "io/intake/time_guess.hpp"

#include <algorithm>
#include <array>
#include <cctype>
#include <cmath>
#include <cstdint>
#include <optional>

#include "io/intake/cells.hpp"
#include "io/intake/log_reader.hpp"
#include "io/intake/time_text.hpp"

namespace amphora::intake {
namespace {

constexpr double first_spreadsheet_day = 36'526.0;  // 2000-01-01
constexpr double last_spreadsheet_day = 73'050.0;   // 2099-12-31
constexpr double earliest_unix = 3e8;               // 1979: no meter's log is older
constexpr double clear_ratio = 3.0;

struct DateForm {
    const char* form;
    const char* turned;
};

/// In this order. Dots put the day first wherever they are used; with strokes and dashes it depends on the country.
constexpr std::array<DateForm, 17> date_forms{{{"%d.%m.%Y", ""},
                                               {"%d/%m/%Y", "%m/%d/%Y"},
                                               {"%m/%d/%Y", ""},
                                               {"%Y/%m/%d", ""},
                                               {"%d-%m-%Y", "%m-%d-%Y"},
                                               {"%m-%d-%Y", ""},
                                               {"%Y.%m.%d", ""},
                                               {"%Y-%m-%d", ""},
                                               {"%d.%m.%y", ""},
                                               {"%d/%m/%y", "%m/%d/%y"},
                                               {"%m/%d/%y", ""},
                                               {"%d %b %Y", ""},
                                               {"%d-%b-%Y", ""},
                                               {"%d-%b-%y", ""},
                                               {"%b %d %Y", ""},
                                               {"%b %d, %Y", ""},
                                               {"%E4Y%m%d", ""}}};
constexpr std::array<const char*, 9> clocks{"%H:%M:%E*S",    "%H:%M",          "%I:%M:%S %p",
                                            "%I:%M %p",      "%I:%M:%S%p",     "%H:%M:%E*S %z",
                                            "%H:%M:%E*S%Ez", "%H:%M:%E*S UTC", "%H:%M:%E*S GMT"};
constexpr std::array<const char*, 3> joints{" ", "T", ", "};
constexpr std::array<const char*, 3> others{"%a %b %d %H:%M:%S %Y", "%E4Y%m%dT%H%M%SZ", "%E4Y%m%d%H%M%S"};

bool fits(const std::vector<std::string>& texts, const std::string& format, const std::string& zone) {
    auto reader = TimeText::of(format, zone);
    if (!reader) return false;
    const auto read = std::ranges::count_if(texts, [&](const auto& t) { return reader->read(t).has_value(); });
    return static_cast<std::size_t>(read) * 10 >= texts.size() * 9;
}

double middle(std::vector<double> values) {
    if (values.empty()) return 0.0;
    const auto half = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
    std::ranges::nth_element(values, half);
    return *half;
}

/// For texts that are plain numbers: seconds or parts of them since 1970, days of a spreadsheet, or seconds since the
/// log began. An empty format for other texts.
TimeGuess guess_number(const std::vector<std::string>& texts) {
    std::vector<double> numbers;
    for (const auto& text : texts)
        if (const auto n = number_in(text, text.find('.') == std::string::npos); n && !n->unit)
            numbers.push_back(n->value);
    if (numbers.empty() || numbers.size() * 10 < texts.size() * 9) return {};
    std::vector<double> steps;
    for (std::size_t i = 1; i < numbers.size(); ++i) steps.push_back(std::abs(numbers[i] - numbers[i - 1]));
    const double typical = middle(numbers);
    if (typical > 1.9e13 && typical < 2.2e13 && texts[0].size() == 14) return {};  // 20241026120000
    if (typical > 1e17) return {.format = "unix_ns"};
    if (typical > 1e14) return {.format = "unix_us"};
    if (typical > 1e11) return {.format = "unix_ms"};
    const bool days = typical >= first_spreadsheet_day && typical <= last_spreadsheet_day &&
                      (steps.empty() ? numbers[0] != std::floor(numbers[0]) : middle(steps) < 0.5);
    if (days) return {.format = "spreadsheet_days"};
    return {.format = "unix", .relative = typical < earliest_unix};
}

struct Walk {
    std::uint64_t read = 0;
    double seconds = 0.0;  // forward and back
    Instant first{};
    Instant last{};
};

Walk walk(std::string_view text, const Mapping& mapping) {
    Walk walk;
    auto reader = LogReader::open(source::memory_input(text), mapping);
    if (!reader) return walk;
    const auto readings = reader->next(SIZE_MAX);
    if (!readings) return walk;
    if (readings->empty()) return walk;
    walk.read = readings->size();
    walk.first = readings->front().at;
    walk.last = readings->back().at;
    for (std::size_t i = 1; i < readings->size(); ++i)
        walk.seconds += std::abs(((*readings)[i].at - (*readings)[i - 1].at).value());
    return walk;
}

}  // namespace

TimeGuess guess_time(const std::vector<std::string>& all, const std::string& zone) {
    // Names of columns that come again, and cells that are empty, must not hide the format.
    std::vector<std::string> texts = all;
    std::erase_if(texts, [](const auto& text) {
        return !std::ranges::any_of(text, [](unsigned char c) { return std::isdigit(c) != 0; });
    });
    if (texts.empty()) return {};
    if (auto number = guess_number(texts); !number.format.empty()) return number;
    if (fits(texts, "rfc3339", zone)) return {.format = "rfc3339"};
    for (const auto& [form, turned] : date_forms)
        for (const std::string joint : joints)
            for (const char* clock : clocks) {
                const std::string rest = joint + clock;
                if (!fits(texts, form + rest, zone)) continue;
                TimeGuess guess{.format = form + rest};
                if (*turned != '\0' && fits(texts, turned + rest, zone)) guess.turned = turned + rest;
                return guess;
            }
    for (const char* form : others)
        if (fits(texts, form, zone)) return {.format = form};
    return {};
}

DateOrder date_order(std::string_view text, const Mapping& mapping, const std::string& turned) {
    Mapping other = mapping;
    other.time_format = turned;
    const Walk as_mapped = walk(text, mapping);
    const Walk turned_walk = walk(text, other);
    if (as_mapped.read != turned_walk.read)  // a thirteenth day is no month
        return as_mapped.read > turned_walk.read ? DateOrder::as_mapped : DateOrder::turned;
    if (as_mapped.first == turned_walk.first && as_mapped.last == turned_walk.last) return DateOrder::as_mapped;
    if (as_mapped.seconds * clear_ratio < turned_walk.seconds) return DateOrder::as_mapped;
    if (turned_walk.seconds * clear_ratio < as_mapped.seconds) return DateOrder::turned;
    return DateOrder::open;
}

}  // namespace amphora::intake

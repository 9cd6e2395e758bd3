#include "io/record/plain_text.hpp"

#include <fmt/format.h>

#include <charconv>
#include <cmath>
#include <iterator>
#include <span>
#include <string_view>

namespace amphora::record {
namespace {

constexpr const char* reading_names[] = {"time_utc", "current_a", "voltage_v", "temperature_c"};
constexpr const char* rollup_names[] = {
    "time_utc",      "readings",       "covered_s",     "current_min_a",     "current_mean_a",     "current_max_a",
    "voltage_min_v", "voltage_mean_v", "voltage_max_v", "temperature_min_c", "temperature_mean_c", "temperature_max_c",
    "charge_in_ah",  "charge_out_ah",  "energy_in_wh",  "energy_out_wh"};

std::string heading(std::span<const char* const> names, PlainForm form) {
    if (form == PlainForm::json_lines) return {};
    return fmt::format("{}\n", fmt::join(names, ","));
}

/// The shortest digits that give the same double again; nothing (or null) for what is missing.
void add_number(std::string& text, double v, PlainForm form) {
    if (!std::isfinite(v)) {
        text += form == PlainForm::csv ? "" : "null";
        return;
    }
    char digits[32];
    const auto fixed = std::to_chars(digits, digits + sizeof digits, v, std::chars_format::fixed);
    const auto end = fixed.ec == std::errc{} ? fixed : std::to_chars(digits, digits + sizeof digits, v);
    text.append(digits, static_cast<std::size_t>(end.ptr - digits));
}

/// Unix seconds, exact: the fraction only where there is one.
void add_time(std::string& text, std::int64_t us) {
    text += std::to_string(us / 1'000'000);
    if (us % 1'000'000 != 0) fmt::format_to(std::back_inserter(text), ".{:06}", us % 1'000'000);
}

void add_line(std::string& text, std::int64_t us, std::span<const double> values, std::span<const char* const> names,
              PlainForm form) {
    const bool csv = form == PlainForm::csv;
    if (!csv) fmt::format_to(std::back_inserter(text), "{{\"{}\":", names.front());
    add_time(text, us);
    for (std::size_t i = 0; i < values.size(); ++i) {
        if (csv) {
            text += ',';
        } else {
            fmt::format_to(std::back_inserter(text), ",\"{}\":", names[i + 1]);
        }
        add_number(text, values[i], form);
    }
    text += csv ? "\n" : "}\n";
}

}  // namespace

std::string readings_heading(PlainForm form) { return heading(reading_names, form); }
std::string rollups_heading(PlainForm form) { return heading(rollup_names, form); }

void add_readings(std::string& text, const ledger::Columns& c, std::size_t begin, std::size_t end, PlainForm form) {
    for (std::size_t i = begin; i < end; ++i) {
        const double values[] = {c.current[i], c.voltage[i], c.temperature[i]};
        add_line(text, c.time_us[i], values, reading_names, form);
    }
}

void add_rollup(std::string& text, const ledger::Rollup& r, PlainForm form) {
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
    add_line(text, r.start_us, values, rollup_names, form);
}

}  // namespace amphora::record

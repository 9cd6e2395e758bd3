#include "io/record/local_days.hpp"

#include <cctz/civil_time.h>

#include <chrono>

namespace amphora::record {
namespace {

using Micros = std::chrono::time_point<std::chrono::system_clock, std::chrono::microseconds>;

Micros moment(std::int64_t us) { return Micros(std::chrono::microseconds(us)); }

std::int64_t start_of(const cctz::civil_day& day, const cctz::time_zone& zone) {
    // Where midnight is skipped this is the first instant after the gap.
    return std::chrono::duration_cast<std::chrono::microseconds>(
               cctz::convert(cctz::civil_second(day), zone).time_since_epoch())
        .count();
}

}  // namespace

std::optional<LocalDays> LocalDays::in_zone(const std::string& name) {
    cctz::time_zone zone;
    if (!cctz::load_time_zone(name, &zone)) return std::nullopt;
    return LocalDays(zone);
}

std::int64_t LocalDays::day_start(std::int64_t us, int days) const {
    return start_of(cctz::civil_day(cctz::convert(moment(us), zone_)) + days, zone_);
}

std::int64_t LocalDays::week_start(std::int64_t us) const {
    const cctz::civil_day day(cctz::convert(moment(us), zone_));
    return start_of(cctz::prev_weekday(day + 1, cctz::weekday::monday), zone_);
}

std::int64_t LocalDays::month_start(std::int64_t us) const {
    return start_of(cctz::civil_day(cctz::civil_month(cctz::convert(moment(us), zone_))), zone_);
}

std::string LocalDays::date(std::int64_t us) const { return cctz::format("%Y-%m-%d", moment(us), zone_); }
std::string LocalDays::time(std::int64_t us) const { return cctz::format("%Y-%m-%dT%H:%M:%E*S%Ez", moment(us), zone_); }

Second LocalDays::ahead(std::int64_t us) const { return Second(static_cast<double>(zone_.lookup(moment(us)).offset)); }

std::optional<std::int64_t> LocalDays::parse(std::string_view text) const {
    Micros when;
    std::string copy(text);
    if (copy.ends_with('Z')) copy.replace(copy.size() - 1, 1, "+00:00");
    const auto count = [&] { return when.time_since_epoch().count(); };
    if (copy.size() == 10) return cctz::parse("%Y-%m-%d", copy, zone_, &when) ? std::optional(count()) : std::nullopt;
    if (copy.size() > 10 && (copy[10] == ' ' || copy[10] == 't')) copy[10] = 'T';
    for (const char* form : {"%Y-%m-%dT%H:%M:%E*S%Ez", "%Y-%m-%dT%H:%M:%E*S", "%Y-%m-%dT%H:%M%Ez", "%Y-%m-%dT%H:%M"})
        if (cctz::parse(form, copy, zone_, &when)) return count();
    return std::nullopt;
}

std::vector<ledger::Rollup> LocalDays::roll_up(const std::vector<ledger::Rollup>& spans) const {
    std::vector<ledger::Rollup> days;
    std::int64_t end = 0;
    for (const auto& span : spans) {
        if (days.empty() || span.start_us >= end || span.start_us < days.back().start_us) {
            days.emplace_back().start_us = day_start(span.start_us);
            end = day_start(span.start_us, 1);
        }
        days.back().merge(span);
    }
    return days;
}

}  // namespace amphora::record

#include "io/intake/time_text.hpp"

#include <cctz/civil_time.h>

#include <algorithm>
#include <chrono>
#include <cmath>

#include "io/source/moment.hpp"

namespace amphora::intake {
namespace {

constexpr double days_to_1970 = 25'569.0;  // from 1899-12-30
constexpr double latest_us = 2.6e17;

using Micros = std::chrono::time_point<std::chrono::system_clock, std::chrono::microseconds>;
using Seconds = std::chrono::time_point<std::chrono::system_clock, cctz::seconds>;

Instant instant_of(Seconds s, std::int64_t us) { return Instant{s.time_since_epoch().count() * 1'000'000 + us}; }

bool says_its_zone(std::string_view text) {
    if (text.empty()) return false;
    const char end = text.back();
    if (end == 'Z' || end == 'z') return true;
    const auto signed_at = [&](std::size_t from_end) {
        return text.size() > 19 && (text[text.size() - from_end] == '+' || text[text.size() - from_end] == '-');
    };
    return signed_at(5) || (signed_at(6) && text[text.size() - 3] == ':');
}

}  // namespace

std::optional<TimeText> TimeText::of(const std::string& format, const std::string& zone) {
    cctz::time_zone tz;
    if (!cctz::load_time_zone(zone, &tz)) return std::nullopt;
    const Kind kind = format == "rfc3339"            ? Kind::rfc3339
                      : format.starts_with("unix")   ? Kind::unix
                      : format == "spreadsheet_days" ? Kind::spreadsheet_days
                                                     : Kind::other;
    const double unit_us = format == "unix_ms" ? 1e3 : format == "unix_us" ? 1.0 : format == "unix_ns" ? 1e-3 : 1e6;
    return TimeText(kind, format, tz, unit_us);
}

std::optional<Instant> TimeText::in_zone(Instant civil_as_utc) {
    if (zone_ == cctz::utc_time_zone()) return civil_as_utc;
    const std::int64_t us = ((civil_as_utc.us % 1'000'000) + 1'000'000) % 1'000'000;
    const Seconds utc{cctz::seconds((civil_as_utc.us - us) / 1'000'000)};
    const auto found = zone_.lookup(cctz::convert(utc, cctz::utc_time_zone()));
    Instant at = instant_of(found.pre, us);
    if (found.kind == cctz::time_zone::civil_lookup::REPEATED) {
        const Instant second = instant_of(found.post, us);
        if (falling_ ? second <= last_ : at < last_) at = second;
    }
    if (at != last_) falling_ = at < last_;
    last_ = at;
    return at;
}

std::optional<Instant> TimeText::read_unix(std::string_view text) const {
    const char* const end = text.data() + text.size();
    if (unit_us_ == 1e6) {
        const auto moment = source::read_moment(text.data(), end);
        if (moment.fault != source::MomentFault::none || moment.end != end) return std::nullopt;
        return Instant{moment.at.us + start_us_};
    }
    const auto number = source::read_decimal(text.data(), end);
    if (number.fault != source::NumberFault::none || number.end != end) return std::nullopt;
    const double us = number.value * unit_us_;
    if (!(us >= 0.0 && us < latest_us)) return std::nullopt;
    return Instant{static_cast<std::int64_t>(us + 0.5) + start_us_};
}

/// Days and parts of a day since 1899-12-30, as spreadsheets keep local moments; to the millisecond, which is what a
/// double of that size can tell.
std::optional<Instant> TimeText::read_days(std::string_view text) {
    std::string copy(text);
    std::ranges::replace(copy, ',', '.');
    const auto number = source::read_decimal(copy.data(), copy.data() + copy.size());
    if (number.fault != source::NumberFault::none || number.end != copy.data() + copy.size()) return std::nullopt;
    const double ms = std::round((number.value - days_to_1970) * 86'400'000.0);
    if (!(ms >= 0.0 && ms * 1000.0 < latest_us)) return std::nullopt;
    return in_zone(Instant{static_cast<std::int64_t>(ms) * 1000});
}

std::optional<Instant> TimeText::read_civil(const std::string& text) {
    Micros civil;
    if (!cctz::parse(format_, text, cctz::utc_time_zone(), &civil)) return std::nullopt;
    const Instant at{civil.time_since_epoch().count()};
    if (at.us < 0) return std::nullopt;  // a year of one digit, say
    for (const char* said : {"%z", "%Ez", "UTC", "GMT"})
        if (format_.find(said) != std::string::npos) return at;
    return in_zone(at);
}

std::optional<Instant> TimeText::read(std::string_view text) {
    std::string with_point;  // of the seconds, as 12:00:00,123
    if (const auto comma = text.rfind(','); comma != std::string_view::npos && comma >= 3 && text[comma - 3] == ':') {
        with_point = text;
        with_point[comma] = '.';
        text = with_point;
    }
    if (kind_ == Kind::unix) return read_unix(text);
    if (kind_ == Kind::spreadsheet_days) return read_days(text);
    if (kind_ == Kind::other) return read_civil(std::string(text));
    const char* const end = text.data() + text.size();
    const auto moment = source::read_moment(text.data(), end);
    if (moment.fault != source::MomentFault::none || moment.end != end) return std::nullopt;
    const bool calendar = text.size() > 4 && text[4] == '-';
    return calendar && !says_its_zone(text) ? in_zone(moment.at) : moment.at;
}

}  // namespace amphora::intake

#include "io/intake/time_text.hpp"

#include <cctz/civil_time.h>

#include <chrono>

#include "io/source/moment.hpp"

namespace amphora::intake {
namespace {

using Micros = std::chrono::time_point<std::chrono::system_clock, std::chrono::microseconds>;
using Seconds = std::chrono::time_point<std::chrono::system_clock, cctz::seconds>;

Instant instant_of(Seconds s, std::int64_t us) { return Instant{s.time_since_epoch().count() * 1'000'000 + us}; }

bool says_its_zone(std::string_view text) {
    if (text.empty()) return false;
    const char end = text.back();
    if (end == 'Z' || end == 'z') return true;
    return text.size() > 6 && (text[text.size() - 6] == '+' || text[text.size() - 6] == '-') &&
           text[text.size() - 3] == ':';
}

}  // namespace

std::optional<TimeText> TimeText::of(const std::string& format, const std::string& zone) {
    cctz::time_zone tz;
    if (!cctz::load_time_zone(zone, &tz)) return std::nullopt;
    const Kind kind = format == "rfc3339"   ? Kind::rfc3339
                      : format == "unix"    ? Kind::unix_seconds
                      : format == "unix_ms" ? Kind::unix_milliseconds
                      : format == "unix_us" ? Kind::unix_microseconds
                                            : Kind::other;
    return TimeText(kind, format, tz);
}

std::optional<Instant> TimeText::in_zone(Instant civil_as_utc) {
    if (zone_ == cctz::utc_time_zone()) return civil_as_utc;
    const std::int64_t us = ((civil_as_utc.us % 1'000'000) + 1'000'000) % 1'000'000;
    const Seconds utc{cctz::seconds((civil_as_utc.us - us) / 1'000'000)};
    const auto found = zone_.lookup(cctz::convert(utc, cctz::utc_time_zone()));
    Instant at = instant_of(found.pre, us);
    if (found.kind == cctz::time_zone::civil_lookup::REPEATED && at < last_) at = instant_of(found.post, us);
    last_ = at;
    return at;
}

std::optional<Instant> TimeText::read(std::string_view text) {
    const char* const end = text.data() + text.size();
    if (kind_ == Kind::unix_milliseconds || kind_ == Kind::unix_microseconds) {
        const auto number = source::read_decimal(text.data(), end);
        if (number.fault != source::NumberFault::none || number.end != end) return std::nullopt;
        const double us = kind_ == Kind::unix_milliseconds ? number.value * 1000.0 : number.value;
        if (!(us >= 0.0 && us < 2.6e17)) return std::nullopt;
        return Instant{static_cast<std::int64_t>(us + 0.5)};
    }
    if (kind_ == Kind::other) {
        Micros civil;
        if (!cctz::parse(format_, std::string(text), cctz::utc_time_zone(), &civil)) return std::nullopt;
        const Instant at{civil.time_since_epoch().count()};
        return format_.find("%z") != std::string::npos || format_.find("%Ez") != std::string::npos ? at : in_zone(at);
    }
    const auto moment = source::read_moment(text.data(), end);
    if (moment.fault != source::MomentFault::none || moment.end != end) return std::nullopt;
    const bool calendar = kind_ == Kind::rfc3339 && text.size() > 4 && text[4] == '-';
    return calendar && !says_its_zone(text) ? in_zone(moment.at) : moment.at;
}

}  // namespace amphora::intake

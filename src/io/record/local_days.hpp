// Days as people count them: from midnight to midnight where the system is, 23 or 25 hours long when the clocks change.
#pragma once

#include <cctz/time_zone.h>

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "core/ledger/rollup.hpp"

namespace amphora::record {

class LocalDays {
public:
    /// The zone by its name in the tz database ("Europe/Berlin", "UTC"); nothing when there is none such.
    [[nodiscard]] static std::optional<LocalDays> in_zone(const std::string& name);
    [[nodiscard]] static LocalDays utc() { return LocalDays(cctz::utc_time_zone()); }

    /// The first instant of the day that contains `us`, or of the day `days` later.
    [[nodiscard]] std::int64_t day_start(std::int64_t us, int days = 0) const;
    /// The first instant of the week (from Monday, ISO 8601) or the month that contains `us`.
    [[nodiscard]] std::int64_t week_start(std::int64_t us) const;
    [[nodiscard]] std::int64_t month_start(std::int64_t us) const;
    /// The day as YYYY-MM-DD.
    [[nodiscard]] std::string date(std::int64_t us) const;
    /// Local time with its offset, RFC 3339: 2024-10-27T02:30:00+02:00.
    [[nodiscard]] std::string time(std::int64_t us) const;
    /// How far local time is ahead of UTC at that moment.
    [[nodiscard]] Second ahead(std::int64_t us) const;
    /// The first instant of a day given as YYYY-MM-DD, or the instant given in RFC 3339, whose seconds and offset may
    /// be left out; nothing when it is neither.
    [[nodiscard]] std::optional<std::int64_t> parse(std::string_view text) const;
    [[nodiscard]] std::string zone() const { return zone_.name(); }

    /// Minutes or hours merged into days; their edges must not cross midnight.
    [[nodiscard]] std::vector<ledger::Rollup> roll_up(const std::vector<ledger::Rollup>& spans) const;

private:
    explicit LocalDays(cctz::time_zone zone) : zone_(zone) {}
    cctz::time_zone zone_;
};

}  // namespace amphora::record

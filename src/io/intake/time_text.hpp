// Times as logs write them, turned into moments; local ones by their zone, where an hour comes twice in autumn.
#pragma once

#include <cctz/time_zone.h>

#include <optional>
#include <string>
#include <string_view>

#include "core/quantity/instant.hpp"

namespace amphora::intake {

class TimeText {
public:
    /// `format` as in Mapping; nothing when the zone is not known.
    [[nodiscard]] static std::optional<TimeText> of(const std::string& format, const std::string& zone);

    /// Unix times count from this moment on, rather than from 1970.
    void count_from(Instant start) { start_us_ = start.us; }

    /// The moment; nothing when the text does not fit the format. Of an hour that comes twice it takes the first until
    /// times would run backward, then the second; the other way round in a log that has the newest first.
    [[nodiscard]] std::optional<Instant> read(std::string_view text);

private:
    enum class Kind { rfc3339, unix, spreadsheet_days, other };
    TimeText(Kind kind, std::string format, cctz::time_zone zone, double unit_us)
        : kind_(kind), format_(std::move(format)), zone_(zone), unit_us_(unit_us) {}
    [[nodiscard]] std::optional<Instant> read_unix(std::string_view text) const;
    [[nodiscard]] std::optional<Instant> read_days(std::string_view text);
    [[nodiscard]] std::optional<Instant> read_civil(const std::string& text);
    [[nodiscard]] std::optional<Instant> in_zone(Instant civil_as_utc);

    Kind kind_;
    std::string format_;
    cctz::time_zone zone_;
    double unit_us_;
    std::int64_t start_us_ = 0;
    Instant last_{INT64_MIN};
    bool falling_ = false;  // the newest first, as far as the last two moments tell
};

}  // namespace amphora::intake

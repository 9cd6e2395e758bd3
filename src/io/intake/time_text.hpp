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

    /// The moment; nothing when the text does not fit the format. Of an hour that comes twice it takes the first until
    /// times would run backward, then the second.
    [[nodiscard]] std::optional<Instant> read(std::string_view text);

private:
    enum class Kind { rfc3339, unix_seconds, unix_milliseconds, unix_microseconds, other };
    TimeText(Kind kind, std::string format, cctz::time_zone zone)
        : kind_(kind), format_(std::move(format)), zone_(zone) {}
    [[nodiscard]] std::optional<Instant> in_zone(Instant civil_as_utc);

    Kind kind_;
    std::string format_;
    cctz::time_zone zone_;
    Instant last_{INT64_MIN};
};

}  // namespace amphora::intake

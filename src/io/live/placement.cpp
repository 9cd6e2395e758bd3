#include "io/live/placement.hpp"

#include <algorithm>
#include <cstdlib>

namespace amphora::live {
namespace {

constexpr std::int64_t second_us = 1'000'000;
constexpr std::int64_t tolerance_us = 2 * second_us;  // what clocks that are kept right may differ by
constexpr Second watch_for(10.0);

}  // namespace

BootPlace first_place(const WallTime& wall, BootTime now, std::optional<Instant> newest) {
    const std::int64_t by_wall = wall.at.us - now.us;
    if (wall.synchronised || !newest) return {by_wall, wall.synchronised};
    return {std::max(by_wall, newest->us + second_us - now.us), false};
}

std::optional<std::int64_t> Placement::correction(const WallTime& wall, BootTime now) {
    const std::int64_t shift = wall.at.us - now.us - place_.clock_us;
    const bool right = place_.synchronised && std::abs(shift) <= tolerance_us;
    if (!wall.synchronised || right) {
        doubt_us_.reset();
        return std::nullopt;
    }
    if (!doubt_us_ || std::abs(shift - *doubt_us_) > tolerance_us / 4) {
        doubt_us_ = shift;
        doubt_since_ = now;
        return std::nullopt;
    }
    if (now - doubt_since_ < watch_for) return std::nullopt;
    doubt_us_.reset();
    return shift;
}

}  // namespace amphora::live

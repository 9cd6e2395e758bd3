#include "io/intake/sign_check.hpp"

#include <algorithm>
#include <cmath>

namespace amphora::intake {
namespace {

constexpr double clear_step = 2.0;     // amperes: well above a meter's noise
constexpr double least_step = 0.5;     // on small systems, where no step is larger
constexpr double clear_share = 0.2;    // of the largest step
constexpr double longest_gap = 120.0;  // seconds: beyond it the state of charge moves the voltage too
constexpr std::uint64_t enough_steps = 20;
constexpr double clear_correlation = 0.5;
constexpr std::uint64_t enough_undirected_steps = 30;
constexpr double clear_share_of_both = 0.12;  // of what steps and rises make together; noise makes 0.04
constexpr double clear_size_correlation = 0.6;

}  // namespace

void SignCheck::push(const Reading& reading) {
    const double step = (reading.current - last_.current).value();
    const double rise = (reading.voltage - last_.voltage).value();
    const double gap = (reading.at - last_.at).value();
    const bool usable = std::isfinite(step) && std::isfinite(rise) && gap > 0.0 && gap <= longest_gap;
    if (usable) {
        const double size = std::abs(step);
        const double rise_size = std::abs(rise);
        largest_ = std::max(largest_, size);
        pairs_ += 1.0;
        s_ += size;
        r_ += rise_size;
        ss_ += size * size;
        rr_ += rise_size * rise_size;
        sr_ += size * rise_size;
    }
    negative_ = negative_ || reading.current.value() < 0.0;
    if (usable && std::abs(step) >= std::clamp(clear_share * largest_, least_step, clear_step)) {
        ++steps_;
        ii_ += step * step;
        vv_ += rise * rise;
        iv_ += step * rise;
        (step * rise < 0.0 ? against_ : with_) += std::abs(step * rise);
    }
    last_ = reading;
}

double SignCheck::correlation() const { return ii_ > 0.0 && vv_ > 0.0 ? iv_ / std::sqrt(ii_ * vv_) : 0.0; }

double SignCheck::size_correlation() const {
    const double spread = (pairs_ * ss_ - s_ * s_) * (pairs_ * rr_ - r_ * r_);
    return spread > 0.0 ? (pairs_ * sr_ - s_ * r_) / std::sqrt(spread) : 0.0;
}

SignVerdict SignCheck::verdict() const {
    const bool both_ways = std::min(against_, with_) > clear_share_of_both * (against_ + with_);
    if (!negative_ && steps_ >= enough_undirected_steps && both_ways && size_correlation() > clear_size_correlation)
        return SignVerdict::undirected;
    if (steps_ < enough_steps || std::abs(correlation()) < clear_correlation) return SignVerdict::unclear;
    return correlation() > 0.0 ? SignVerdict::agrees : SignVerdict::reversed;
}

}  // namespace amphora::intake

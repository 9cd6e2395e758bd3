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

}  // namespace

void SignCheck::push(const Reading& reading) {
    const double step = (reading.current - last_.current).value();
    const double rise = (reading.voltage - last_.voltage).value();
    const double gap = (reading.at - last_.at).value();
    const bool usable = std::isfinite(step) && std::isfinite(rise) && gap > 0.0 && gap <= longest_gap;
    if (usable) largest_ = std::max(largest_, std::abs(step));
    if (usable && std::abs(step) >= std::clamp(clear_share * largest_, least_step, clear_step)) {
        ++steps_;
        ii_ += step * step;
        vv_ += rise * rise;
        iv_ += step * rise;
    }
    last_ = reading;
}

double SignCheck::correlation() const { return ii_ > 0.0 && vv_ > 0.0 ? iv_ / std::sqrt(ii_ * vv_) : 0.0; }

SignVerdict SignCheck::verdict() const {
    if (steps_ < enough_steps || std::abs(correlation()) < clear_correlation) return SignVerdict::unclear;
    return correlation() > 0.0 ? SignVerdict::agrees : SignVerdict::reversed;
}

}  // namespace amphora::intake

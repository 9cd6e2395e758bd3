#include "core/sun/clearness.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace amphora::sun {
namespace {

/// Below this the exponential law is a uniform one.
constexpr double nearly_uniform = 1e-6;

}  // namespace

DailyClearness::DailyClearness(double monthly_mean) {
    const double k = std::clamp(monthly_mean, 0.15, 0.78);
    highest_ = 0.6313 + 0.267 * k - 11.9 * std::pow(k - 0.75, 8);
    const double width = highest_ - lowest_;
    const double x = width / (highest_ - k);
    shape_ = -1.498 + (1.184 * x - 27.182 * std::exp(-1.5 * x)) / width;
}

double DailyClearness::share_below(double clearness) const {
    const double k = std::clamp(clearness, lowest_, highest_);
    if (std::abs(shape_) < nearly_uniform) return (k - lowest_) / (highest_ - lowest_);
    const double low = std::exp(shape_ * lowest_);
    return (low - std::exp(shape_ * k)) / (low - std::exp(shape_ * highest_));
}

double DailyClearness::quantile(double u) const {
    if (std::abs(shape_) < nearly_uniform) return lowest_ + u * (highest_ - lowest_);
    const double low = std::exp(shape_ * lowest_);
    return std::log(low - u * (low - std::exp(shape_ * highest_))) / shape_;
}

double DailyClearness::mean() const {
    if (std::abs(shape_) < nearly_uniform) return (lowest_ + highest_) / 2.0;
    const double low = std::exp(shape_ * lowest_);
    const double high = std::exp(shape_ * highest_);
    return (highest_ * high - lowest_ * low) / (high - low) - 1.0 / shape_;
}

double normal_share_below(double x) { return 0.5 * std::erfc(-x / std::numbers::sqrt2); }

}  // namespace amphora::sun

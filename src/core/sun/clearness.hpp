// Bright days and dull ones: how a month's mean clearness spreads over its days, and how one day follows another.
#pragma once

namespace amphora::sun {

/// The long-term distribution of the daily clearness index for a monthly mean of 0.2..0.75 (Bendt, Collares-Pereira and
/// Rabl, Solar Energy 27, 1981, 1; with Huget's end points, Duffie and Beckman eq. 2.9.4 to 2.9.6).
class DailyClearness {
public:
    explicit DailyClearness(double monthly_mean);

    [[nodiscard]] double lowest() const { return lowest_; }
    [[nodiscard]] double highest() const { return highest_; }
    [[nodiscard]] double shape() const { return shape_; }

    /// Share of the days that are at most this clear.
    [[nodiscard]] double share_below(double clearness) const;
    /// The clearness that a share `u` (0..1) of the days does not exceed.
    [[nodiscard]] double quantile(double u) const;
    [[nodiscard]] double mean() const;

private:
    double lowest_ = 0.05;
    double highest_;
    double shape_;
};

/// Correlation of one day's clearness with the next, on the Gaussian scale (Graham, Hollands and Unny, Solar Energy 40,
/// 1988, 83; the figure from memory).
constexpr double usual_day_to_day = 0.29;

/// Normal distribution: share below x standard deviations.
[[nodiscard]] double normal_share_below(double x);

}  // namespace amphora::sun

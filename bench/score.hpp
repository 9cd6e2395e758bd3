// How far estimates were from the truth, and whether their bands were honest.
#pragma once

#include <algorithm>
#include <cmath>
#include <vector>

#include "core/quantity/quantity.hpp"

namespace amphora::bench {

/// Errors of one run, gathered sample by sample; figures in points (hundredths of the capacity).
class Score {
public:
    void add(double estimate, double truth, double sd) {
        const double error = std::abs(estimate - truth);
        squares_ += error * error;
        worst_ = std::max(worst_, error);
        sds_ += sd;
        within50_ += error <= 0.6744897501960817 * sd;
        within90_ += error <= band90 * sd;
        within95_ += error <= 1.959963984540054 * sd;
        ++count_;
    }

    [[nodiscard]] double rmse() const { return 100 * std::sqrt(squares_ / count()); }
    [[nodiscard]] double worst() const { return 100 * worst_; }
    [[nodiscard]] double mean_sd() const { return 100 * sds_ / count(); }
    [[nodiscard]] double within50() const { return within50_ / count(); }
    [[nodiscard]] double within90() const { return within90_ / count(); }
    [[nodiscard]] double within95() const { return within95_ / count(); }

private:
    [[nodiscard]] double count() const { return std::max(1.0, static_cast<double>(count_)); }
    double squares_ = 0, worst_ = 0, sds_ = 0, within50_ = 0, within90_ = 0, within95_ = 0;
    std::size_t count_ = 0;
};

/// A figure over many runs.
class Spread {
public:
    explicit Spread(std::vector<double> values) : values_(std::move(values)) {
        std::sort(values_.begin(), values_.end());
    }
    [[nodiscard]] double mean() const {
        double sum = 0;
        for (const double v : values_) sum += v;
        return values_.empty() ? 0 : sum / static_cast<double>(values_.size());
    }
    /// The value below which this share of the runs lies.
    [[nodiscard]] double quantile(double share) const {
        if (values_.empty()) return 0;
        return values_[static_cast<std::size_t>(share * static_cast<double>(values_.size() - 1) + 0.5)];
    }

private:
    std::vector<double> values_;
};

}  // namespace amphora::bench

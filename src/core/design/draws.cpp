#include "core/design/draws.hpp"

#include <cmath>

#include "core/sun/clearness.hpp"

namespace amphora::design {
namespace {

/// Inverse of the normal distribution by bisection: only run once per entry.
double deviate(double share) {
    double low = -8.0;
    double high = 8.0;
    for (int i = 0; i < 60; ++i) {
        const double middle = (low + high) / 2.0;
        (sun::normal_share_below(middle) < share ? low : high) = middle;
    }
    return (low + high) / 2.0;
}

}  // namespace

NormalTable::NormalTable() {
    const auto n = static_cast<double>(values_.size());
    double squares = 0.0;
    for (std::size_t i = 0; i < values_.size(); ++i) {
        const double z = deviate((static_cast<double>(i) + 0.5) / n);
        values_.at(i) = static_cast<float>(z);
        squares += z * z;
    }
    const auto scale = static_cast<float>(std::sqrt(n / squares));
    for (float& v : values_) v *= scale;
}

const NormalTable& normal_table() {
    static const NormalTable table;
    return table;
}

}  // namespace amphora::design

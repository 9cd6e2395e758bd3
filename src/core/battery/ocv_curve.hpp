// Open-circuit voltage of a cell against its state of charge, on an even grid for quick look-up.
#pragma once

#include <algorithm>
#include <array>
#include <cstddef>
#include <span>

#include "core/quantity/quantity.hpp"

namespace amphora {

struct OcvPoint {
    double state_of_charge;
    double volt;
};

/// A curve given by points (strictly increasing states of charge), continued in a straight line beyond 0 and 1.
class OcvCurve {
public:
    static constexpr std::size_t cells = 400;
    static constexpr double low = -0.05;
    static constexpr double high = 1.05;

    OcvCurve() = default;

    /// At least two points with increasing state of charge.
    explicit OcvCurve(std::span<const OcvPoint> points);

    [[nodiscard]] Volt at(Fraction state_of_charge) const { return Volt(look(state_of_charge.value()).volt); }

    struct Look {
        double volt;
        double slope;  // volt per unit of state of charge
    };

    /// Voltage and slope together; the slope is a central difference over two grid cells, so that it does not jump.
    [[nodiscard]] Look look(double z) const {
        const double position = (std::clamp(z, low, high) - low) * (cells / (high - low));
        const auto index = std::min(static_cast<std::size_t>(position), cells - 1);
        const double part = position - static_cast<double>(index);
        const double volt = volt_[index] + part * (volt_[index + 1] - volt_[index]);
        return {volt, slope_[index] + part * (slope_[index + 1] - slope_[index])};
    }

private:
    std::array<double, cells + 1> volt_{};
    std::array<double, cells + 1> slope_{};
};

}  // namespace amphora

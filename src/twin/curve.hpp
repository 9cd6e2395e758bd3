// A rest-voltage curve of one cell: volts against state of charge.
#pragma once

#include <array>
#include <functional>
#include <span>
#include <utility>

#include "core/quantity/quantity.hpp"
#include "twin/random.hpp"

namespace amphora::twin {

/// Voltage per cell on an even grid of state of charge, straight lines between; constant beyond 0 and 1.
class Curve {
public:
    struct Point {
        double voltage;  // V
        double slope;    // V per unit of state of charge
    };
    static constexpr int intervals = 1000;

    Curve() = default;
    /// From points (state of charge, volts), strictly rising in the state of charge, first 0 and last 1.
    explicit Curve(std::span<const std::pair<double, double>> points);
    /// From any function of the state of charge.
    explicit Curve(const std::function<double(double)>& volts);

    [[nodiscard]] Point at(double state_of_charge) const {
        const double x = state_of_charge <= 0   ? 0
                         : state_of_charge >= 1 ? intervals - 1e-6
                                                : state_of_charge * intervals;
        const auto cell = static_cast<std::size_t>(x);
        const double rise = volts_[cell + 1] - volts_[cell];
        return {volts_[cell] + (x - static_cast<double>(cell)) * rise, rise * intervals};
    }
    [[nodiscard]] Volt at(Fraction state_of_charge) const { return Volt(at(state_of_charge.value()).voltage); }

    /// This curve bent by a function of (state of charge, volts), then made to rise by at least `least` V per unit.
    [[nodiscard]] Curve bent(const std::function<double(double, double)>& bend, double least) const;

private:
    std::array<double, intervals + 1> volts_{};
};

/// A lithium iron phosphate cell's curve: one of several shapes, bent by up to 15 mV, tilted, and stretched.
[[nodiscard]] Curve draw_lfp_curve(Random& random);
/// A lead-acid cell's curve: a line, a parabola or a handbook's table between drawn end points.
[[nodiscard]] Curve draw_lead_curve(Random& random);
/// The smooth lithium curve with the graphite staging step, as drawn for no cell in particular.
[[nodiscard]] Curve plain_lfp_curve();

}  // namespace amphora::twin

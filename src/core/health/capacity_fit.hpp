// Full-charge capacity from pairs of (change of state of charge, charge moved), both of them uncertain.
//
// Total least squares after G. L. Plett, "Recursive approximate weighted total least squares estimation of battery cell
// total capacity", J. Power Sources 196 (2011) 2319-2331. Ordinary least squares of the charge on the change is biased
// low and, worse, sure of it: it takes the state of charge for exact.
#pragma once

#include <optional>

#include "core/quantity/quantity.hpp"

namespace amphora {

/// What was seen between two moments of known state of charge. Same sign for both (positive = charged).
struct CapacityPair {
    Uncertain<Fraction> change;
    Uncertain<AmpHour> moved;
};

/// The capacity that one pair gives, with first-order error propagation. Poor when the change is small (below 0.3).
/// The change must not be zero.
[[nodiscard]] Uncertain<AmpHour> capacity_from_pair(const CapacityPair& pair);

/// Sums of squares and products, each new pair weighing more than the faded old ones.
struct FadingSums {
    double xx = 0, xy = 0, yy = 0;

    void add(double x, double y, double weight, double fading) {
        xx = fading * xx + x * x * weight;
        xy = fading * xy + x * y * weight;
        yy = fading * yy + y * y * weight;
    }
};

/// Recursive approximate weighted total least squares: constant work and memory however many pairs.
class CapacityFit {
public:
    /// `fading` is what each further pair leaves of the weight of earlier ones: 1 forgets nothing, 0.93-0.99 follows an
    /// ageing battery.
    explicit CapacityFit(Fraction fading = Fraction(1)) : fading_(fading.value()) {}

    /// Takes a pair. Both standard deviations must be positive.
    void add(const CapacityPair& pair);

    /// Capacity and its standard deviation; nothing before the first pair, or when the pairs do not determine it.
    [[nodiscard]] std::optional<Uncertain<AmpHour>> capacity() const;

    /// Weighted squares of the distances from the fit: about (pairs - 1) when the stated errors are true.
    [[nodiscard]] double misfit() const;

private:
    [[nodiscard]] double cost(double slope) const;
    [[nodiscard]] double best_slope() const;

    double fading_;
    double scale_ = 0;      // AmpHour to the units of the change, fixed by the first pair
    FadingSums by_moved_;   // weighted by the error of the charge moved
    FadingSums by_change_;  // weighted by the error of the change
};

}  // namespace amphora

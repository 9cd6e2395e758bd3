// The part of a cell's rest voltage that depends on which way it came: several laws, all other than the estimator's.
#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>

#include "core/quantity/quantity.hpp"

namespace amphora::twin {

enum class HysteresisLaw { none, relaxing, play, plays };

struct HysteresisSpec {
    HysteresisLaw law = HysteresisLaw::none;
    Volt amplitude{0};    // per cell; the charge branch lies this far above the curve, the discharge branch below
    double rate = 40;     // relaxing: e-foldings per unit of state of charge moved
    double width = 0.05;  // plays: half the dead band, in state of charge
};

/// `relaxing`: approaches the branch exponentially with the charge moved (G. Plett's one-state form). `play`: a dead
/// band that the state of charge drags along. `plays`: five dead bands of growing width (Prandtl and Ishlinskii's
/// operator, the same family as a discrete Preisach plane), which remembers inner loops.
class Hysteresis {
public:
    explicit Hysteresis(HysteresisSpec spec, double state_of_charge, double start) : spec_(spec), share_(start) {
        for (std::size_t k = 0; k < operators; ++k) centre_[k] = state_of_charge - start * width(k);
    }

    /// Moves to a new state of charge; the voltage per cell then.
    double move(double from, double to) {
        switch (spec_.law) {
            case HysteresisLaw::none:
                return 0;
            case HysteresisLaw::relaxing: {
                const double x = spec_.rate * std::abs(to - from);
                share_ += ((to > from ? 1.0 : -1.0) - share_) * (x / (1 + x));
                break;
            }
            case HysteresisLaw::play:
                share_ = drag(0, to);
                break;
            case HysteresisLaw::plays: {
                double sum = 0;
                for (std::size_t k = 0; k < operators; ++k) sum += drag(k, to);
                share_ = sum / operators;
                break;
            }
        }
        return share_ * spec_.amplitude.value();
    }

private:
    static constexpr std::size_t operators = 5;
    [[nodiscard]] double width(std::size_t k) const {
        return spec_.law == HysteresisLaw::play ? spec_.width : spec_.width * (0.25 + 0.5 * static_cast<double>(k));
    }
    double drag(std::size_t k, double to) {
        centre_[k] = std::clamp(centre_[k], to - width(k), to + width(k));
        return (to - centre_[k]) / width(k);
    }

    HysteresisSpec spec_;
    double share_;
    std::array<double, operators> centre_{};
};

}  // namespace amphora::twin

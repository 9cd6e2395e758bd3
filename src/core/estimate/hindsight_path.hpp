// The past as it is known now, at any moment: straight lines between the steps of the smoother.
#pragma once

#include <span>

#include "core/estimate/estimate.hpp"

namespace amphora {

class HindsightPath {
public:
    /// `steps` in the order of time, from Pipeline::hindsight(); must outlive the path.
    explicit HindsightPath(std::span<const Hindsight> steps) : rest_(steps) {}

    /// What is known now of the state of charge when `then` was estimated. Moments must be asked in the order of time.
    /// Before the first step it is that step's, after the last one (less than a minute) the last's. Without any step
    /// nothing more is known than then.
    [[nodiscard]] Uncertain<Fraction> at(const Estimate& then);

private:
    std::span<const Hindsight> rest_;  // from the last step that is not after the moment asked last
};

}  // namespace amphora

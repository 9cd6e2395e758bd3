// The filter: an iterated extended Kalman filter over the state of state.hpp, one prediction and up to three scalar
// pieces of evidence per step. Equations in docs/explanation/estimation.md; R. Kalman 1960, G. Plett (J. Power Sources
// 134 (2004) 252), iterated form after A. Jazwinski (1970).
#pragma once

#include <array>
#include <limits>

#include "core/battery/cell_model.hpp"
#include "core/estimate/estimate.hpp"
#include "core/estimate/state.hpp"
#include "core/estimate/step.hpp"
#include "core/system/system.hpp"

namespace amphora {

/// The prediction as a matrix: identity but for the row of the missing charge and the decay of the wandering error.
struct Transition {
    double missing_missing = 1.0;
    double missing_offset = 0.0;
    double missing_loss = 0.0;
    double wander = 1.0;
};

/// One scalar measurement as it was used: innovation = row * (x - x_predicted) + noise.
struct Used {
    StateVector row{};
    StateVector gain{};
    double innovation = 0.0;
    double variance = 0.0;  // of the innovation
};

/// What happened in a step, for the smoother.
struct Trace {
    Transition transition;
    std::array<Used, 3> used;
    int used_count = 0;
};

class Filter {
public:
    explicit Filter(const System& system);

    /// Advances by one step. `around`: the state of charge about which to linearise (NaN: the filter's own mean).
    /// `trace` may be null.
    void advance(const Step& step, double around, Trace* trace);

    [[nodiscard]] const Belief& belief() const { return belief_; }
    void set_belief(const Belief& belief) { belief_ = belief; }

    [[nodiscard]] Uncertain<Fraction> state_of_charge() const;
    /// The evidence used since clear_evidence(), if any.
    [[nodiscard]] Evidence last_evidence() const { return last_evidence_; }
    void clear_evidence() { last_evidence_ = Evidence::none; }
    [[nodiscard]] const CellModel& model() const { return model_; }
    [[nodiscard]] const Battery& battery() const { return battery_; }

    /// State of charge and its variance from any mean and the 2 x 2 covariance of missing charge and capacity.
    static Uncertain<Fraction> state_of_charge(const StateVector& mean, double var_missing, double cov,
                                               double var_capacity);

private:
    void predict(const Step& step, double around, Transition& transition);
    double bound_doubt(std::size_t k, double most);
    void note_currents(const Step& step, double current_a);
    void apply(const StateVector& row, double innovation, double noise, Trace* trace);
    void use_voltage(const Step& step, double current_a, double around, Trace* trace);
    [[nodiscard]] bool worth_it(const StateVector& row, double sd_z, double slope) const;
    void use_near_full(double c_rate, Trace* trace);
    void use_near_empty(Trace* trace);
    void look_at_missing(double seen, double sd, Trace* trace);
    void use_full(const Step& step, Trace* trace);
    void use_bounds(double current);

    Battery battery_;
    CellModel model_;
    double label_ah_;
    double resistance_scale_ = 1.0;  // 1 / label capacity
    Belief belief_;
    Evidence last_evidence_ = Evidence::none;
};

}  // namespace amphora

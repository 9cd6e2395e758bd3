#include "core/estimate/smoother.hpp"

#include <cmath>
#include <limits>

namespace amphora {
namespace {

using namespace part;

/// The adjoint: how much, and how surely, what came later contradicts the forward belief.
struct Adjoint {
    StateVector pull{};
    StateCovariance weight{};

    void through(const Used& used) {
        const StateVector w = weight.times(used.gain);
        const double own = dot(used.gain, w) + 1.0 / used.variance;
        const double along = dot(used.gain, pull) + used.innovation / used.variance;
        StateVector half = w;
        for (std::size_t k = 0; k < count; ++k) half[k] = 0.5 * own * used.row[k] - w[k];
        weight.add_pair(used.row, half);
        for (std::size_t k = 0; k < count; ++k) pull[k] -= used.row[k] * along;
    }

    void through(const Transition& t) {
        auto& w = weight.row;
        // weight <- F' weight F, F being identity but for the row of the missing charge and the wander's decay
        for (std::size_t k = 0; k < count; ++k) {
            w[k][offset] += w[k][missing] * t.missing_offset;
            w[k][loss] += w[k][missing] * t.missing_loss;
            w[k][missing] *= t.missing_missing;
            w[k][wander] *= t.wander;
        }
        for (std::size_t k = 0; k < count; ++k) {
            w[offset][k] += w[missing][k] * t.missing_offset;
            w[loss][k] += w[missing][k] * t.missing_loss;
            w[missing][k] *= t.missing_missing;
            w[wander][k] *= t.wander;
        }
        pull[offset] += pull[missing] * t.missing_offset;
        pull[loss] += pull[missing] * t.missing_loss;
        pull[missing] *= t.missing_missing;
        pull[wander] *= t.wander;
    }
};

Uncertain<Fraction> smoothed(const Belief& belief, const Adjoint& adjoint, Fraction always_sd) {
    const StateCovariance& p = belief.covariance;
    const StateVector& to_missing = p.row[missing];
    const StateVector& to_capacity = p.row[capacity];
    StateVector mean = belief.mean;
    mean[missing] -= dot(to_missing, adjoint.pull);
    mean[capacity] -= dot(to_capacity, adjoint.pull);
    const StateVector w_missing = adjoint.weight.times(to_missing);
    const StateVector w_capacity = adjoint.weight.times(to_capacity);
    Uncertain<Fraction> result = Filter::state_of_charge(mean, p.at(missing, missing) - dot(to_missing, w_missing),
                                                         p.at(missing, capacity) - dot(to_capacity, w_missing),
                                                         p.at(capacity, capacity) - dot(to_capacity, w_capacity));
    result.sd = Fraction(std::hypot(result.sd.value(), always_sd.value()));
    return result;
}

struct Moment {
    Trace trace;
    Belief after;
};

}  // namespace

void Smoother::keep(const Step& step, Instant end, const Belief& before) {
    const Instant start{end.us - static_cast<std::int64_t>(step.length_ms) * 1000};
    if (blocks_.empty() || blocks_.back()->count == block_steps || start.us > end_.us + 1000 ||
        start.us < end_.us - 1000) {
        blocks_.push_back(std::make_unique<Block>());
        blocks_.back()->before = before;
        blocks_.back()->start = start;
    }
    Block& block = *blocks_.back();
    block.step[block.count++] = step;
    end_ = end;
}

std::vector<Hindsight> Smoother::look_back(Filter filter, int passes) const {
    if (blocks_.empty()) return {};
    std::vector<Hindsight> result(steps());
    std::vector<Moment> moments(block_steps);
    std::vector<Belief> heads;
    heads.reserve(blocks_.size());
    for (const auto& block : blocks_) heads.push_back(block->before);
    for (int pass = 0; pass < passes; ++pass) {
        const bool again = pass > 0;
        if (again) {
            filter.set_belief(heads.front());
            std::size_t k = 0;
            for (std::size_t b = 0; b < blocks_.size(); ++b) {
                heads[b] = filter.belief();
                for (std::size_t s = 0; s < blocks_[b]->count; ++s, ++k)
                    filter.advance(blocks_[b]->step[s], result[k].state_of_charge.mean.value(), nullptr);
            }
        }
        Adjoint adjoint;
        std::size_t k = result.size();
        for (std::size_t b = blocks_.size(); b-- > 0;) {
            const Block& block = *blocks_[b];
            k -= block.count;
            filter.set_belief(heads[b]);
            Instant at = block.start;
            for (std::size_t s = 0; s < block.count; ++s) {
                const double around =
                    again ? result[k + s].state_of_charge.mean.value() : std::numeric_limits<double>::quiet_NaN();
                filter.advance(block.step[s], around, &moments[s].trace);
                moments[s].after = filter.belief();
                at = Instant{at.us + static_cast<std::int64_t>(block.step[s].length_ms) * 1000};
                result[k + s].at = at;
            }
            for (std::size_t s = block.count; s-- > 0;) {
                result[k + s].state_of_charge = smoothed(moments[s].after, adjoint, filter.model().tail.always_sd);
                for (int u = moments[s].trace.used_count; u-- > 0;)
                    adjoint.through(moments[s].trace.used[static_cast<std::size_t>(u)]);
                adjoint.through(moments[s].trace.transition);
            }
        }
    }
    return result;
}

std::size_t Smoother::steps() const {
    std::size_t sum = 0;
    for (const auto& block : blocks_) sum += block->count;
    return sum;
}

std::size_t Smoother::bytes() const { return blocks_.size() * sizeof(Block); }

}  // namespace amphora

#include "core/commission/commissioning.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "core/meter/correlated_mean.hpp"
#include "core/meter/resolution.hpp"
#include "core/quantity/sample.hpp"

namespace amphora::commission {
namespace {

constexpr Second settle{3.0};               // after each act, not counted
constexpr double known_load_spread = 0.35;  // labels of loads are not better than that (common practice, no source)
constexpr double far_off = 3.0;             // standard errors

/// The mean as an uncertain value whose 90 % band is that of Student's distribution.
Uncertain<Ampere> mean_of(const std::vector<Ampere>& currents) {
    const auto m = correlated_mean(currents);
    const DegreesOfFreedom freedom(std::max(m.effective - 1.0, 1.0));
    return {m.mean, m.error * (student_quantile(band90, freedom) / band90)};
}

Uncertain<Ampere> difference(Uncertain<Ampere> a, Uncertain<Ampere> b) {
    return {a.mean - b.mean, Ampere(std::hypot(a.sd.value(), b.sd.value()))};
}

Ampere magnitude(Ampere a) { return Ampere(std::abs(a.value())); }

}  // namespace

// The offset of the data sheet; without one, a twentieth of a percent of the shunt or of the capacity (common practice,
// no source). Twice that, because a data sheet's figure is often typical, not greatest.
Limits limits_for(const System& system) {
    Limits limits;
    Ampere rated(system.battery.design_capacity.value());
    Ampere offset = Ampere::missing();
    for (std::size_t i = 0; i < system.meters.size(); ++i) {
        const auto& meter = system.meters[i];
        const bool in_use = i >= system.equipment.meters.size() || system.equipment.meters[i].in_use;
        if (!in_use || !meter.rated_current.known()) continue;
        rated = meter.rated_current;
        if (i < system.equipment.meters.size() && system.equipment.meters[i].offset.known())
            offset = offset_from_drop(system.equipment.meters[i].offset, meter.rated_current, meter.rated_drop);
        break;
    }
    limits.zero = std::max(offset.known() ? offset * 2.0 : rated * 0.001, Ampere(0.01));
    return limits;
}

Commissioning::Commissioning(const System& system)
    : system_(system), limits_(limits_for(system)), seen_(acts_of(Step::direction).size()) {}

std::optional<Step> Commissioning::step() const {
    if (step_ >= step_count) return std::nullopt;
    return static_cast<Step>(step_);
}

const Act& Commissioning::act() const { return acts_of(static_cast<Step>(step_))[act_]; }

void Commissioning::begin(Instant at, double answer) {
    seen_[act_] = {};
    seen_[act_].answer = answer;
    seen_[act_].begun = seen_[act_].last = at;
    measuring_ = true;
}

void Commissioning::push(const Reading& reading) {
    if (!measuring_ || !step() || !reading.current.known()) return;
    Seen& seen = seen_[act_];
    if (reading.at <= seen.last || reading.at - seen.begun < settle || wait() <= Second(0)) return;
    seen.last = reading.at;
    seen.currents.push_back(reading.current);
    if (reading.voltage.known()) seen.voltages.push_back(reading.voltage);
}

Second Commissioning::wait() const {
    if (!step()) return Second(0);
    const Second whole = act().measure > Second(0) ? act().measure + settle : Second(0);
    return std::max(whole - (seen_[act_].last - seen_[act_].begun), Second(0));
}

bool Commissioning::ready() const { return measuring_ && wait() <= Second(0); }

void Commissioning::next() {
    measuring_ = false;
    if (!step()) return;
    const auto& acts = acts_of(static_cast<Step>(step_));
    if (++act_ < acts.size()) return;
    findings_.push_back(judge());
    ++step_;
    act_ = 0;
    seen_.assign(step() ? acts_of(*step()).size() : 0, {});
}

void Commissioning::skip() {
    measuring_ = false;
    if (!step()) return;
    findings_.push_back({.step = *step()});
    ++step_;
    act_ = 0;
    seen_.assign(step() ? acts_of(*step()).size() : 0, {});
}

bool Commissioning::sound() const {
    return std::ranges::all_of(
        findings_, [](const Finding& f) { return f.verdict == Verdict::passed || f.verdict == Verdict::skipped; });
}

Finding Commissioning::judge() const {
    Finding finding;
    const auto step = static_cast<Step>(step_);
    const bool measures = step != Step::full_evidence;
    if (measures && std::ranges::any_of(seen_, [](const Seen& s) { return s.currents.size() < 4; })) {
        finding.verdict = Verdict::unsure;
        finding.meaning = Meaning::no_readings;
    } else {
        switch (step) {
            case Step::direction:
                finding = judge_direction();
                break;
            case Step::bypass:
                finding = judge_bypass();
                break;
            case Step::zero:
                finding = judge_zero();
                break;
            case Step::gain:
                finding = judge_gain();
                break;
            case Step::full_evidence:
                finding = judge_full();
                break;
        }
    }
    finding.step = step;
    if (!seen_.empty()) finding.at = seen_.back().last;
    return finding;
}

Finding Commissioning::judge_direction() const {
    Finding f;
    f.seen = difference(mean_of(seen_[1].currents), mean_of(seen_[0].currents));
    const Volt voltage = seen_[1].voltages.empty() ? system_.nominal_voltage : sample_mean<Volt>(seen_[1].voltages);
    f.expected = -(Watt(seen_[1].answer) / voltage);
    const Ampere band = f.seen.sd * far_off;
    const double size = f.seen.mean / f.expected;
    if (magnitude(f.expected) < band * 2.0) {
        f.verdict = Verdict::unsure;
        f.meaning = Meaning::load_too_small;
    } else if (magnitude(f.seen.mean) < std::max(band, magnitude(f.expected) * 0.1)) {
        f.verdict = Verdict::differs;
        f.meaning = Meaning::load_not_seen;
    } else if (size < 0.0) {
        f.verdict = Verdict::differs;
        f.meaning = Meaning::reversed;
    } else if (std::abs(size - 1.0) > known_load_spread) {
        f.verdict = Verdict::differs;
        f.meaning = Meaning::load_other_size;
    } else {
        f.verdict = Verdict::passed;
        f.meaning = Meaning::right_way_round;
    }
    return f;
}

Finding Commissioning::judge_bypass() const {
    Finding f;
    f.seen = mean_of(seen_[0].currents);
    f.expected = Ampere(0);
    const bool works = seen_[0].answer > 0.5;
    // Five times the zero that is no worry: whatever is left on takes more than that, and the zero is measured next.
    const bool flows = magnitude(f.seen.mean) > limits_.zero * 5.0;
    f.verdict = works || flows ? Verdict::differs : Verdict::passed;
    f.meaning = flows ? Meaning::something_left_on : works ? Meaning::something_bypasses : Meaning::all_through_shunt;
    return f;
}

Finding Commissioning::judge_zero() const {
    Finding f;
    f.seen = mean_of(seen_[0].currents);
    f.expected = Ampere(0);
    const Ampere half = f.seen.sd * band90;
    if (half > limits_.zero && magnitude(f.seen.mean) < half + limits_.zero) {
        f.verdict = Verdict::unsure;
        f.meaning = Meaning::zero_too_noisy;
        return f;
    }
    const bool small = magnitude(f.seen.mean) <= limits_.zero + half;
    f.verdict = small ? Verdict::passed : Verdict::differs;
    f.meaning = small ? Meaning::zero_small : Meaning::zero_large;
    return f;
}

Finding Commissioning::judge_gain() const {
    Finding f;
    f.seen = mean_of(seen_[0].currents);
    f.expected = -Ampere(seen_[0].answer);
    const Ampere reference = magnitude(f.expected);
    if (reference < std::max(limits_.zero * 20.0, Ampere(1.0))) {
        f.verdict = Verdict::unsure;
        f.meaning = Meaning::gain_reference_too_small;
        return f;
    }
    f.ratio = magnitude(f.seen.mean) / reference;
    f.ratio_sd = std::hypot(f.seen.sd / reference, limits_.reference_error * f.ratio);
    const bool agrees = std::abs(f.ratio - 1.0) <= limits_.gain + band90 * f.ratio_sd;
    f.verdict = agrees ? Verdict::passed : Verdict::differs;
    f.meaning = agrees ? Meaning::gain_agrees : Meaning::gain_differs;
    return f;
}

Finding Commissioning::judge_full() const {
    Finding f;
    f.wanted_voltage = system_.battery.full.voltage;
    for (const auto& charger : system_.equipment.chargers)
        if (charger.absorption.known() && !(charger.absorption <= f.voltage)) f.voltage = charger.absorption;
    if (!f.voltage.known()) {
        f.verdict = Verdict::unsure;
        f.meaning = Meaning::full_no_charger;
        return f;
    }
    const bool reached = f.voltage >= f.wanted_voltage;
    f.verdict = reached ? Verdict::passed : Verdict::differs;
    f.meaning = reached ? Meaning::full_reachable : Meaning::full_never_reached;
    return f;
}

}  // namespace amphora::commission

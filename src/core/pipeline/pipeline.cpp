#include "core/pipeline/pipeline.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <type_traits>

#include "core/estimate/filter.hpp"
#include "core/estimate/smoother.hpp"

namespace amphora {

struct Pipeline::Parts {
    explicit Parts(const System& system, PipelineOptions chosen)
        : options(chosen),
          battery(system.battery),
          stepper(system.battery),
          filter(system),
          rate_limit(system.battery) {}

    PipelineOptions options;
    Battery battery;
    Stepper stepper;
    Filter filter;
    RateLimit rate_limit;
    Outlook outlook;
    Smoother smoother;
    LastEvidence evidence;
};

static_assert(std::is_trivially_copyable_v<PipelineMemory>, "kept as bytes between two runs of the program");

Pipeline::Pipeline(const System& system, PipelineOptions options) : parts_(std::make_unique<Parts>(system, options)) {}

Pipeline::Pipeline(const System& system, const PipelineMemory& memory, PipelineOptions options)
    : Pipeline(system, options) {
    parts_->stepper = memory.stepper;
    parts_->filter.set_belief(memory.belief);
    parts_->rate_limit = memory.rate_limit;
    parts_->outlook = memory.outlook;
    parts_->evidence = memory.evidence;
}

Pipeline::~Pipeline() = default;
Pipeline::Pipeline(Pipeline&&) noexcept = default;
Pipeline& Pipeline::operator=(Pipeline&&) noexcept = default;

bool Pipeline::push(const Reading& reading) {
    Parts& p = *parts_;
    const std::optional<Step> step = p.stepper.push(reading);
    if (!step) return false;
    const Instant end = p.stepper.end();
    if (p.options.keep_for_hindsight) p.smoother.keep(*step, end, p.filter.belief());
    p.filter.advance(*step, std::numeric_limits<double>::quiet_NaN(), nullptr);
    p.outlook.learn(*step, end);
    p.rate_limit.follow(*step, p.filter.state_of_charge().mean);
    if (p.filter.last_evidence() != Evidence::none) {
        p.evidence = {p.filter.last_evidence(), end, AmpHour(0.0), AmpHour(0.0)};
        p.filter.clear_evidence();
    } else {
        p.evidence.in_since += AmpHour(static_cast<double>(step->charge_in_ah));
        p.evidence.out_since += AmpHour(static_cast<double>(step->charge_out_ah));
    }
    return true;
}

Uncertain<Fraction> Pipeline::state_of_charge() const {
    const Parts& p = *parts_;
    const double full_charge = p.battery.design_capacity.value() * std::exp(p.filter.belief().mean[part::capacity]);
    const double counted = p.stepper.open().net_ah() / full_charge;  // since the last step closed
    const Uncertain<Fraction> soc = p.filter.state_of_charge();
    return {Fraction(std::clamp(soc.mean.value() + counted, 0.0, 1.0)), soc.sd};
}

Instant Pipeline::at() const { return parts_->stepper.end(); }

Estimate Pipeline::now() const {
    const Parts& p = *parts_;
    const StateVector& x = p.filter.belief().mean;
    const StateCovariance& cov = p.filter.belief().covariance;
    const double label = p.battery.design_capacity.value();
    const double full_charge = label * std::exp(x[part::capacity]);
    const Step& open = p.stepper.open();

    Estimate e;
    e.at = p.stepper.end();
    e.state_of_charge = state_of_charge();
    e.full_charge_capacity = {AmpHour(full_charge),
                              AmpHour(full_charge * std::sqrt(cov.at(part::capacity, part::capacity)))};
    e.meter_offset = {Ampere(x[part::offset]), Ampere(std::sqrt(cov.at(part::offset, part::offset)))};

    // Charge above the reserve: (1 - reserve) capacity - missing; the two are correlated.
    const double usable = 1.0 - p.battery.reserve.value();
    const double by_capacity = usable * full_charge;
    const double variance = by_capacity * by_capacity * cov.at(part::capacity, part::capacity) -
                            2.0 * by_capacity * label * cov.at(part::missing, part::capacity) +
                            label * label * cov.at(part::missing, part::missing);
    const double missing = std::max(label * x[part::missing] - open.net_ah(), 0.0);
    e.remaining = {AmpHour(std::max(by_capacity - missing, 0.0)), AmpHour(std::sqrt(std::max(variance, 0.0)))};

    e.current = p.stepper.latest().current;
    e.voltage = p.stepper.latest().voltage;
    e.temperature = p.stepper.latest().temperature;
    e.power = e.voltage * e.current;
    const Uncertain<AmpHour> gap_to_full{AmpHour(missing),
                                         AmpHour(label * std::sqrt(cov.at(part::missing, part::missing)))};
    // Of a charge that may be anything nobody knows how long it lasts.
    const bool placed = e.state_of_charge.sd * band90 < hardly_known;
    const Outlook::Answer ahead =
        placed ? p.outlook.ahead(e.at, e.remaining, gap_to_full, e.meter_offset.mean) : Outlook::Answer{};
    e.to_empty = ahead.to_empty;
    // At a high current lead-acid gives out for now before its charge is gone; with rest it comes back.
    const Second held =
        to_seconds(p.rate_limit.time_to_empty(p.outlook.recent() - e.meter_offset.mean, AmpHour(full_charge)));
    if (held < e.to_empty.likely) {
        e.to_empty.likely = held;
        e.to_empty.low = std::min(e.to_empty.low, 0.7 * held);
    }
    e.to_full = ahead.to_full;
    e.evidence = p.evidence;
    return e;
}

PipelineMemory Pipeline::memory() const {
    const Parts& p = *parts_;
    return {p.stepper, p.filter.belief(), p.rate_limit, p.outlook, p.evidence};
}

const LastEvidence& Pipeline::evidence() const { return parts_->evidence; }

const Oddities& Pipeline::oddities() const { return parts_->stepper.oddities(); }

const Belief& Pipeline::belief() const { return parts_->filter.belief(); }

std::vector<Hindsight> Pipeline::hindsight() const { return parts_->smoother.look_back(parts_->filter); }

}  // namespace amphora

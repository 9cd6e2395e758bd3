#include "io/document/plot/log_trace.hpp"

namespace amphora::plot {

void MeasuredBucket::merge(const MeasuredBucket& other) {
    current.merge(other.current);
    voltage.merge(other.voltage);
}

void BandBucket::add(Uncertain<Fraction> state_of_charge) {
    const auto half = state_of_charge.sd * band90;
    mean.add(state_of_charge.mean.value());
    band.add(static_cast<float>(std::max(0.0, (state_of_charge.mean - half).value())));
    band.add(static_cast<float>(std::min(1.0, (state_of_charge.mean + half).value())));
}

void BandBucket::merge(const BandBucket& other) {
    mean.merge(other.mean);
    band.merge(other.band);
}

void ChargeBucket::merge(const ChargeBucket& other) {
    said.merge(other.said);
    known_now.merge(other.known_now);
    full_seen = full_seen || other.full_seen;
}

void LogTrace::add(const Reading& reading) {
    if (readings_++ == 0) first_ = last_ = reading.at;
    last_ = std::max(last_, reading.at);
    auto& bucket = measured_.at(reading.at);
    bucket.current.add(reading.current.value());
    bucket.voltage.add(reading.voltage.value());
}

void LogTrace::add(const Estimate& said, const std::optional<Uncertain<Fraction>>& known_now) {
    auto& bucket = charge_.at(said.at);
    bucket.said.add(said.state_of_charge);
    if (known_now) bucket.known_now.add(*known_now);
    if (said.evidence.kind == Evidence::full && said.evidence.at != full_at_) {
        full_at_ = said.evidence.at;
        bucket.full_seen = true;
    }
}

}  // namespace amphora::plot

#include "core/estimate/honesty.hpp"

#include <cmath>

namespace amphora {

void Honesty::add(const Estimate& said, Uncertain<Fraction> known_now) {
    const auto error = said.state_of_charge.mean - known_now.mean;
    const auto half_band = said.state_of_charge.sd * band90;
    if (!error.known() || !half_band.known()) return;
    ++moments_;
    squares_ += error.value() * error.value();
    half_bands_ += half_band.value();
    if (std::abs(error.value()) <= half_band.value()) ++inside_;
    if (std::abs(error.value()) > std::abs(widest_.error.value())) widest_ = {said.at, error};
}

Fraction Honesty::rms() const { return Fraction(std::sqrt(squares_ / static_cast<double>(moments_))); }

Fraction Honesty::inside_band() const { return Fraction(static_cast<double>(inside_) / static_cast<double>(moments_)); }

Fraction Honesty::mean_half_band() const { return Fraction(half_bands_ / static_cast<double>(moments_)); }

}  // namespace amphora

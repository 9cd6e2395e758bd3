// How wrong the estimates turned out to be: what was said at the time against what is known now.
#pragma once

#include <cstdint>

#include "core/estimate/estimate.hpp"

namespace amphora {

/// Hindsight is not the truth, but nearer to it than what was said at the time; where it could not learn anything, the
/// two agree and prove nothing. The error is in the state of charge.
class Honesty {
public:
    /// The error that was widest, and when.
    struct Widest {
        Instant at{};
        Fraction error;  // said minus known now
    };

    void add(const Estimate& said, Uncertain<Fraction> known_now);

    [[nodiscard]] std::uint64_t moments() const { return moments_; }
    /// Root of the mean squared error. Missing without moments, like the shares below.
    [[nodiscard]] Fraction rms() const;
    /// Share of the moments at which what is known now lies inside the 90 % band that was given; 0.9 or more is honest.
    [[nodiscard]] Fraction inside_band() const;
    /// Mean half width of that band.
    [[nodiscard]] Fraction mean_half_band() const;
    [[nodiscard]] const Widest& widest() const { return widest_; }

private:
    std::uint64_t moments_ = 0;
    std::uint64_t inside_ = 0;
    double squares_ = 0.0;
    double half_bands_ = 0.0;
    Widest widest_;
};

}  // namespace amphora

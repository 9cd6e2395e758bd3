// How far a count of charge can be off: the closed-form error budget of a shunt meter.
//
// A meter that shows (1 + g) i + b + noise gives, after a time T in which the net charge Q moved, an error of
// b T + g Q + noise sqrt(T dt) + drift of b + clock. The split into a part that grows with time and one that grows with
// the charge moved follows K. Movassagh, A. Raihan, B. Balasingam, K. Pattipati, Energies 14 (2021) 4074
// (arXiv 2101.05435). Independent terms are added in quadrature. All figures here are standard deviations, positive.
#pragma once

#include "core/quantity/quantity.hpp"

namespace amphora {

/// Slope of an offset that wanders as a random walk: its standard deviation grows by this in one hour, twice in four.
using AmperePerRootHour = Quantity<struct AmperePerRootHourTag>;

/// What is known about a meter's errors, as standard deviations.
struct MeterErrors {
    Ampere offset{};                  // shown when nothing flows, constant since the last full charge
    Fraction gain{};                  // of the reading
    Ampere noise{};                   // of one reading, independent from reading to reading
    Second interval{1.0};             // between readings
    AmperePerRootHour offset_walk{};  // wandering of the offset
    Fraction clock{};                 // error of the clock's rate; 50 ppm = 5e-5
};

/// What was counted since the charge was last known.
struct CountedSpan {
    Hour elapsed{};
    AmpHour net{};         // in minus out: a gain error cancels over a whole cycle
    AmpHour throughput{};  // in plus out: a clock error does not
};

/// The error of the counted charge, term by term.
struct ChargeError {
    AmpHour offset{};
    AmpHour gain{};
    AmpHour noise{};
    AmpHour offset_walk{};
    AmpHour clock{};

    /// All terms together, in quadrature.
    [[nodiscard]] AmpHour total() const;
};

[[nodiscard]] ChargeError charge_error(const MeterErrors& meter, const CountedSpan& counted);

/// Standard deviation of a state of charge that was counted from a known one: the charge error over the capacity, and
/// the error of the capacity itself on the net charge moved.
[[nodiscard]] Fraction state_of_charge_error(const ChargeError& error, AmpHour net, Uncertain<AmpHour> capacity);

/// How long until a constant offset alone makes the state of charge wrong by `off`. Infinite without an offset.
[[nodiscard]] Hour time_until_off(Fraction off, AmpHour capacity, Ampere offset);

/// How long until the state of charge is wrong by `off` at `sds` standard deviations, from an offset and noise known
/// only by their standard deviations (meter.offset, meter.noise, meter.interval; the other terms do not enter).
[[nodiscard]] Hour time_until_off(Fraction off, AmpHour capacity, const MeterErrors& meter, double sds);

}  // namespace amphora

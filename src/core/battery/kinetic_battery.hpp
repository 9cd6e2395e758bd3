// Rate capacity of a lead-acid battery as two wells of charge, one at hand and one bound, that level out through a
// valve.
//
// J. F. Manwell and J. G. McGowan, "Lead acid battery storage model for hybrid energy systems", Solar Energy 50 (1993)
// 399-405. A high current drains the available well before the bound one can follow: the battery is empty *for now*,
// and recovers with rest. No temperature in it: scale the capacity (capacity_temperature.hpp).
#pragma once

#include <cstdint>
#include <expected>
#include <span>

#include "core/battery/hour_rating.hpp"
#include "core/battery/peukert.hpp"
#include "core/quantity/quantity.hpp"

namespace amphora {

/// One over a time constant.
using PerHour = Quantity<struct PerHourTag>;

/// What the two wells hold.
struct Wells {
    AmpHour available;
    AmpHour bound;

    [[nodiscard]] constexpr AmpHour total() const { return available + bound; }
};

struct KineticParameters {
    AmpHour capacity{};          // both wells, full: the charge of an infinitely slow discharge
    Fraction available_share{};  // c, of the capacity; between 0 and 1, both excluded
    PerHour rate{};              // k, how fast the levels meet: their difference falls as exp(-k t)

    /// Some papers (M. Jongerden and B. Haverkort) give the valve's conductance instead; then k = valve / (c (1 - c)).
    [[nodiscard]] static constexpr PerHour rate_from_valve(PerHour valve, Fraction share) {
        return valve / (share.value() * (1 - share.value()));
    }
};

/// The two-well model. Currents are positive into the battery; "discharge" arguments are positive magnitudes.
class KineticBattery {
public:
    constexpr explicit KineticBattery(KineticParameters parameters) : p_(parameters) {}

    [[nodiscard]] constexpr const KineticParameters& parameters() const { return p_; }

    /// Both wells at the same level, holding this share of the capacity: what a long rest leads to.
    [[nodiscard]] Wells levelled(Fraction state_of_charge) const;

    /// The wells after a constant current (positive charges) has flowed for a time: exact, whatever the length.
    /// Does not stop at empty or full; ask `time_to_empty` or the largest currents first. Total changes by current x
    /// time.
    [[nodiscard]] Wells after(Wells now, Ampere current, Hour time) const;

    /// Charge that a full battery gives when emptied evenly in this time (> 0).
    [[nodiscard]] AmpHour capacity_over(Hour time) const;

    /// The constant discharge current (positive) that empties the available well exactly at the end of this time (> 0).
    [[nodiscard]] Ampere largest_discharge(Wells now, Hour time) const;

    /// The constant charge current (positive) that fills the available well exactly at the end of this time (> 0).
    [[nodiscard]] Ampere largest_charge(Wells now, Hour time) const;

    /// How long a constant discharge current (positive) can be held until the available well is empty. Zero when it is
    /// empty already and not refilled as fast as it is drained, infinite when nothing is drawn.
    [[nodiscard]] Hour time_to_empty(Wells now, Ampere discharge) const;

    /// Charge that can be taken at this constant discharge current (positive) before the battery is empty for now;
    /// all of it when nothing is drawn.
    [[nodiscard]] AmpHour deliverable(Wells now, Ampere discharge) const;

private:
    KineticParameters p_;
};

enum class KineticFitError : std::uint8_t {
    too_few_ratings,  // three unknowns need three ratings over different times
    not_positive,     // a time or a capacity is not a positive number
};

struct KineticFit {
    KineticParameters parameters;
    AmpHour largest_residual;  // of the ratings that were given
};

/// Least squares of `capacity_over` to a data sheet's hour ratings (three or more).
[[nodiscard]] std::expected<KineticFit, KineticFitError> fit_kinetic_battery(std::span<const HourRating> ratings);

/// The same where only one rating and an exponent are known: fits to Peukert's curve at 20, 10, 5, 3 and 1 hours.
[[nodiscard]] std::expected<KineticFit, KineticFitError> fit_kinetic_battery(HourRating rating,
                                                                             PeukertExponent exponent);

}  // namespace amphora

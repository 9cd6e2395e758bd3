#include "core/battery/kinetic_battery.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

#include "core/quantity/exponential.hpp"

namespace amphora {

Wells KineticBattery::levelled(Fraction state_of_charge) const {
    const AmpHour all = state_of_charge * p_.capacity;
    const AmpHour available = p_.available_share * all;
    return {available, all - available};
}

Wells KineticBattery::after(Wells now, Ampere current, Hour time) const {
    const double c = p_.available_share.value();
    const double x = p_.rate.value() * time.value();
    const double step = step_response(x);
    const AmpHour per_rate(current.value() / p_.rate.value());  // current / k
    const AmpHour all = now.total();
    const AmpHour available =
        now.available * (1 - step) + all * (c * step) + per_rate * step + per_rate * (c * ramp_response(x));
    return {available, all + current * time - available};
}

AmpHour KineticBattery::capacity_over(Hour time) const {
    const double c = p_.available_share.value();
    const double x = p_.rate.value() * time.value();
    return p_.capacity * (c * x / (step_response(x) + c * ramp_response(x)));
}

namespace {

/// The constant current out of the battery that leaves `goal` in the available well after `time`.
Ampere current_to_reach(const KineticParameters& p, Wells now, AmpHour goal, Hour time) {
    const double c = p.available_share.value();
    const double x = p.rate.value() * time.value();
    const double step = step_response(x);
    const AmpHour at_rest = now.available * (1 - step) + now.total() * (c * step);
    return Ampere((at_rest - goal).value() * p.rate.value() / (step + c * ramp_response(x)));
}

}  // namespace

Ampere KineticBattery::largest_discharge(Wells now, Hour time) const {
    return current_to_reach(p_, now, AmpHour(0), time);
}

Ampere KineticBattery::largest_charge(Wells now, Hour time) const {
    return -current_to_reach(p_, now, p_.available_share * p_.capacity, time);
}

Hour KineticBattery::time_to_empty(Wells now, Ampere discharge) const {
    if (discharge <= Ampere(0)) return Hour(std::numeric_limits<double>::infinity());
    if (now.available <= AmpHour(0)) {
        // An empty well still lasts if the bound one refills it faster than the discharge drains it.
        now = {AmpHour(0), now.total()};
        if (discharge.value() >= p_.rate.value() * p_.available_share.value() * now.total().value()) return Hour(0);
    }
    // The available well is a falling straight line plus one exponential that decays: positive at first, below zero
    // when the total is used up, so it crosses zero once. Newton's steps from the side on which the curve bends towards
    // the axis approach that crossing without ever passing it.
    const double c = p_.available_share.value();
    const double k = p_.rate.value();
    const double drawn = discharge.value();
    const double line = c * now.total().value() - drawn * (1 - c) / k;
    const double bend = now.available.value() - line;
    double time = bend > 0 ? 0.0 : (now.total() / discharge).value();
    for (int step = 0; step < 60; ++step) {
        const double decaying = bend * std::exp(-k * time);
        const double next = time + (line - drawn * c * time + decaying) / (drawn * c + k * decaying);
        if (std::abs(next - time) <= 1e-14 * next) return Hour(next);
        time = next;
    }
    return Hour(time);
}

AmpHour KineticBattery::deliverable(Wells now, Ampere discharge) const {
    if (discharge <= Ampere(0)) return now.total();
    return discharge * time_to_empty(now, discharge);
}

namespace {

struct Shape {
    double share;
    double log_rate;
};

struct Candidate {
    KineticParameters parameters;
    double squares;
};

/// Capacity enters linearly, so for a given shape it has a closed form.
Candidate best_capacity(std::span<const HourRating> ratings, Shape shape) {
    KineticParameters p{AmpHour(1), Fraction(shape.share), PerHour(std::exp(shape.log_rate))};
    const KineticBattery unit(p);
    double gq = 0, gg = 0;
    for (const HourRating& r : ratings) {
        const double g = unit.capacity_over(r.over).value();
        gq += g * r.capacity.value();
        gg += g * g;
    }
    p.capacity = AmpHour(gq / gg);
    double squares = 0;
    for (const HourRating& r : ratings) {
        const double e = r.capacity.value() - p.capacity.value() * unit.capacity_over(r.over).value();
        squares += e * e;
    }
    return {p, squares};
}

}  // namespace

std::expected<KineticFit, KineticFitError> fit_kinetic_battery(std::span<const HourRating> ratings) {
    if (!std::ranges::all_of(ratings, [](const HourRating& r) {
            return r.over > Hour(0) && r.over.known() && r.capacity > AmpHour(0) && r.capacity.known();
        }))
        return std::unexpected(KineticFitError::not_positive);
    std::ptrdiff_t different = 0;
    for (const HourRating& r : ratings)
        different += std::ranges::none_of(ratings.begin(), ratings.begin() + (&r - ratings.data()),
                                          [&](const HourRating& o) { return o.over == r.over; });
    if (different < 3) return std::unexpected(KineticFitError::too_few_ratings);

    // A grid over the two shape parameters, drawn closer around its best point again and again.
    constexpr int per_side = 10;
    const Shape least{0.01, std::log(1e-3)}, most{0.99, std::log(100.0)};
    Shape centre{0.5, std::log(0.5)};
    Shape reach{0.49, std::log(300.0)};
    Candidate best = best_capacity(ratings, centre);
    for (int round = 0; round < 50; ++round) {
        const Shape middle = centre;
        for (int i = -per_side; i <= per_side; ++i)
            for (int j = -per_side; j <= per_side; ++j) {
                const Shape s{
                    std::clamp(middle.share + reach.share * i / per_side, least.share, most.share),
                    std::clamp(middle.log_rate + reach.log_rate * j / per_side, least.log_rate, most.log_rate)};
                const Candidate c = best_capacity(ratings, s);
                if (c.squares < best.squares) {
                    best = c;
                    centre = s;
                }
            }
        reach.share *= 0.6;
        reach.log_rate *= 0.6;
    }

    KineticFit fit{best.parameters, AmpHour(0)};
    const KineticBattery battery(fit.parameters);
    for (const HourRating& r : ratings) {
        const AmpHour off(std::abs((r.capacity - battery.capacity_over(r.over)).value()));
        fit.largest_residual = std::max(fit.largest_residual, off);
    }
    return fit;
}

std::expected<KineticFit, KineticFitError> fit_kinetic_battery(HourRating rating, PeukertExponent exponent) {
    std::array<HourRating, 5> rows{};
    std::ranges::transform(std::array{20.0, 10.0, 5.0, 3.0, 1.0}, rows.begin(), [&](double hours) {
        // Peukert's rule solved for the current that lasts this long.
        const double faster = std::pow(rating.over.value() / hours, 1 / exponent.value());
        return HourRating{Hour(hours), rating.current() * faster * Hour(hours)};
    });
    return fit_kinetic_battery(rows);
}

}  // namespace amphora

#include "core/design/measured.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <utility>

#include "core/design/chemistry_limits.hpp"
#include "core/design/mean_day.hpp"
#include "core/design/measured_draw.hpp"

namespace amphora::design {
namespace {

constexpr double longest_step = 900.0;  // s: what is farther apart is a gap
constexpr double noticeable = 0.3;      // A

double mean_on_hours(const Appliance& a) { return std::accumulate(a.on_by_hour.begin(), a.on_by_hour.end(), 0.0); }

/// Draws all the time: its switching is never seen.
bool is_always_on(const Appliance& a) { return a.duty >= Fraction(0.999) && mean_on_hours(a) >= 23.9; }

double usual_volts(const Plan& plan) {
    return (limits(plan.bank.battery.chemistry).rest_full * plan.bank.battery.cells_in_series).value();
}

double share_of(double a, double b) { return a > 0.0 && b > 0.0 ? std::abs(std::log(a / b)) : 1e9; }

double quantile(std::vector<double> values, double share) {
    const auto at = values.begin() + static_cast<std::ptrdiff_t>(share * static_cast<double>(values.size() - 1));
    std::ranges::nth_element(values, at);
    return *at;
}

/// Weighted by the hours that each month was covered.
template <class Figure>
double on_covered_days(const std::array<double, 12>& hours, Figure figure) {
    double sum = 0.0;
    double all = 0.0;
    for (int m = 0; m < 12; ++m) {
        const double h = hours.at(static_cast<std::size_t>(m));
        if (h <= 0.0) continue;
        sum += h * figure(m);
        all += h;
    }
    return all > 0.0 ? sum / all : 0.0;
}

}  // namespace

Witness::Witness(const Plan& plan) : plan_(plan), charged_(plan.chargers.size(), 0.0) {
    for (std::size_t i = 0; i < plan.appliances.size(); ++i) {
        const Appliance& a = plan.appliances[i];
        if (a.feed == Feed::shore || a.power <= Watt(0.0) || is_always_on(a)) continue;
        things_.push_back({.watts = a.power.value() * conversion_factor(plan, a),
                           .index = i,
                           .most = a.count,
                           .longest = std::max(2.0, mean_on_hours(a))});
    }
    for (std::size_t i = 0; i < plan.chargers.size(); ++i) {
        const Charger& c = plan.chargers[i];
        if (c.kind == ChargerKind::solar) continue;
        things_.push_back(
            {.watts = c.current.value() * usual_volts(plan), .charges = true, .index = i, .longest = 24.0});
    }
}

bool Witness::is_daylight(int month, double hour) const {
    const bool sun = std::ranges::any_of(plan_.chargers, [](const Charger& c) { return c.kind == ChargerKind::solar; });
    if (!sun) return false;
    const Degree latitude = plan_.climate.months.at(static_cast<std::size_t>(month)).latitude;
    const sun::Day day = sun::day_of_year(sun::middle_of_month(month), latitude);
    constexpr double clock_off_by = 1.5;  // summer time and the zone's width
    return std::abs(hour - 12.0) < day.sunset_angle.value() / 15.0 + clock_off_by;
}

double Witness::planned_hours(const Thing& t, int month, double hour) const {
    if (t.charges) return 1.0;
    const Appliance& a = plan_.appliances[t.index];
    const auto h = static_cast<std::size_t>(std::clamp(hour, 0.0, 23.99));
    return a.months.at(static_cast<std::size_t>(month)) ? a.on_by_hour.at(h) : 0.0;
}

void Witness::switch_on(Thing& t, double amperes, Instant at) {
    ++t.on;
    ++t.times;
    t.amperes = amperes;
    t.since = at;
}

void Witness::switch_off(Thing& t) { --t.on; }

void Witness::take(const Switching& s, double volt, int month, double hour) {
    const double amperes = std::abs(s.change.value());
    const bool more_drawn = s.change < Ampere(0.0);
    constexpr double near_enough = 0.22;  // of a plan's figure: 25 % either way
    constexpr double same_again = 0.18;   // of the step that switched it on
    constexpr double out_of_hours = 0.10;
    Thing* best = nullptr;
    double least = 1e9;
    bool off = false;
    for (Thing& t : things_) {
        if (t.on > 0 && t.charges == more_drawn) {  // an appliance goes off upwards, a charger downwards
            const double score = share_of(amperes, t.amperes);
            if (score < std::min(least, same_again)) {
                best = &t;
                least = score;
                off = true;
            }
        }
        if (t.on < t.most && t.charges != more_drawn) {
            const double apart = share_of(amperes * volt, t.watts);
            const double score = apart + (planned_hours(t, month, hour) > 0.0 ? 0.0 : out_of_hours);
            if (apart < near_enough && score < least) {
                best = &t;
                least = score;
                off = false;
            }
        }
    }
    if (best == nullptr) return;
    if (off) {
        switch_off(*best);
    } else {
        switch_on(*best, amperes, s.at);
    }
}

void Witness::watch_the_night(Instant at, double hour) {
    constexpr double night_ends = 4.0;  // before any dawn, also by a clock that is off
    constexpr double apart = 300.0;     // s
    if (hour < night_ends && steps_.level() < Ampere(0.0) && (at - looked_).value() >= apart) {
        tonight_.push_back(-steps_.level().value());
        looked_ = at;
    }
    if (hour >= night_ends && !tonight_.empty()) {
        // Of the quieter moments, what nothing is switched off from.
        nights_.push_back(quantile(std::exchange(tonight_, {}), 0.2));
        constexpr std::size_t remembered = 14;
        if (nights_.size() > remembered) nights_.erase(nights_.begin());
        base_ = quantile(nights_, 0.5);
    }
}

void Witness::count(const Reading& r, double hours, int month, double hour) {
    const auto m = static_cast<std::size_t>(month);
    const double volt = last_.voltage.known() ? last_.voltage.value() : usual_volts(plan_);
    const double net = last_.current.value();
    hours_.at(m) += hours;
    (net > 0.0 ? in_ : out_).at(m) += std::abs(net) * volt * hours;

    double known = base_;
    double switched_chargers = 0.0;
    for (Thing& t : things_) {
        if (t.on == 0) continue;
        if ((r.at - t.since).value() > t.longest * 3600.0) {  // its switching off was missed
            t.on = 0;
            continue;
        }
        (t.charges ? switched_chargers : known) += t.amperes * t.on;
        t.hours += hours;
        if (!t.charges) t.energy += t.amperes * t.on * volt * hours;
    }
    const bool may_charge = switched_chargers > 0.0 || net > noticeable || is_daylight(month, hour);
    const double charge = may_charge ? std::max({0.0, net, net + known}) : 0.0;
    base_energy_ += base_ * volt * hours;
    drawn_ += std::max(0.0, charge - net) * volt * hours;
    told_ += std::min(known, std::max(0.0, charge - net)) * volt * hours;
    if (charge < noticeable) return;
    double left = charge;
    for (const Thing& t : things_) {
        if (!t.charges || t.on == 0) continue;
        const double part = std::min(left, t.amperes);
        charged_[t.index] += part * volt * hours;
        left -= part;
    }
    const bool alone = plan_.chargers.size() == 1;
    const auto solar = std::ranges::find(plan_.chargers, ChargerKind::solar, &Charger::kind);
    if (solar != plan_.chargers.end() && (alone || is_daylight(month, hour))) {
        charged_[static_cast<std::size_t>(solar - plan_.chargers.begin())] += left * volt * hours;
    } else if (alone) {
        charged_.front() += left * volt * hours;
    }
}

void Witness::push(const Reading& reading, int month, double hour) {
    if (!reading.current.known()) return;
    if (started_) {
        const double step = (reading.at - last_.at).value();
        if (step <= 0.0) return;
        if (step <= longest_step) {
            count(reading, step / 3600.0, month, hour);
        } else {
            steps_.restart();
            for (Thing& t : things_) t.on = 0;
        }
    }
    const double volt = reading.voltage.known() ? reading.voltage.value() : usual_volts(plan_);
    if (const auto s = steps_.push(reading)) take(*s, volt, month, hour);
    watch_the_night(reading.at, hour);
    last_ = reading;
    started_ = true;
}

Measured Witness::result() const {
    Measured out;
    const double hours = std::accumulate(hours_.begin(), hours_.end(), 0.0);
    const double days = std::max(hours / 24.0, 1e-9);
    out.covered = Hour(hours);
    for (int m = 0; m < 12; ++m) {
        const auto i = static_cast<std::size_t>(m);
        const AtTheShunt planned = at_the_shunt(plan_, m);
        const double month_days = std::max(hours_.at(i) / 24.0, 1e-9);
        out.months.at(i) = {Hour(hours_.at(i)), planned.in, planned.out, WattHour(in_.at(i) / month_days),
                            WattHour(out_.at(i) / month_days)};
    }
    double always = 0.0;
    for (const Appliance& a : plan_.appliances) {
        if (a.feed == Feed::shore) continue;
        const double behind = conversion_factor(plan_, a);
        always += on_covered_days(hours_, [&](int m) {
            if (!a.months.at(static_cast<std::size_t>(m))) return 0.0;
            return 24.0 * a.count * behind * (a.standby + (is_always_on(a) ? a.power : Watt(0.0))).value();
        });
    }
    for (const Inverter& i : plan_.inverters) {
        if (i.idle_hours >= Hour(23.0)) always += (i.idle * i.idle_hours).value();
    }
    out.appliances.push_back({"always on", WattHour(always), WattHour(base_energy_ / days), 0.0,
                              Watt(base_energy_ / std::max(hours, 1e-9))});
    for (const Thing& t : things_) {
        if (t.charges) continue;
        const Appliance& a = plan_.appliances[t.index];
        const double planned = on_covered_days(hours_, [&](int m) {
            return daily_use(a, m).value() * conversion_factor(plan_, a) - 24.0 * a.count * a.standby.value();
        });
        out.appliances.push_back({a.name, WattHour(std::max(0.0, planned)), WattHour(t.energy / days), t.times / days,
                                  t.hours > 0.0 ? Watt(t.energy / t.hours) : Watt::missing(), measured_words(a)});
    }
    const Budget b = budget_of(plan_);
    for (std::size_t c = 0; c < plan_.chargers.size(); ++c) {
        const double planned = on_covered_days(
            hours_, [&](int m) { return b.gives.at(c).per_day.at(static_cast<std::size_t>(m)).value(); });
        out.chargers.push_back({plan_.chargers[c].name, WattHour(planned), WattHour(charged_[c] / days)});
    }
    out.told_apart = WattHour(told_ / days);
    out.drawn = WattHour(drawn_ / days);
    return out;
}

}  // namespace amphora::design

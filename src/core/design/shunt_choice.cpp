#include "core/design/shunt_choice.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "core/design/load.hpp"
#include "core/design/words.hpp"

namespace amphora::design {
namespace {

Ohm resistance_of(const Shunt& s) { return s.rated_drop / s.rating; }

ShuntVerdict judge(const Plan& plan, const Shunt& s, const Load& load, Ampere smallest) {
    ShuntVerdict v;
    v.name = s.name;
    v.in_use = s.in_use;
    v.price = s.price;
    v.rating = s.rating;
    v.load_share = load.greatest() / (s.rating * s.continuous_share.value());
    v.surge_share = load.out_surge / (s.highest.known() ? s.highest : s.rating);
    v.drop = resistance_of(s) * load.greatest();
    v.heat = v.drop * load.greatest();
    if (s.offset.known()) v.offset = s.offset / resistance_of(s);
    v.days_to_drift = days_to_drift(plan, s, drift_points);
    if (s.resolution.known()) v.step = s.resolution / resistance_of(s);
    v.carries = v.load_share <= 1.005;
    v.sees_smallest = !v.step.known() || !smallest.known() || v.step <= smallest / 2.0;
    return v;
}

/// Full charges come at least this often in most weeks; a meter that holds 5 points longer gains little more.
constexpr double days_that_matter = 14.0;

double useful_days(const ShuntVerdict& v) {
    return std::isfinite(v.days_to_drift) ? std::min(v.days_to_drift, days_that_matter) : 0.0;
}

std::string price_words(const Plan& plan, Money m) { return digits(m.value()) + " " + plan.currency; }

}  // namespace

double days_to_drift(const Plan& plan, const Shunt& shunt, Fraction points) {
    if (!shunt.offset.known() || !shunt.rating.known() || !shunt.rated_drop.known()) {
        return std::numeric_limits<double>::quiet_NaN();
    }
    const Ampere off = shunt.offset / resistance_of(shunt);
    return (points * plan.bank.battery.design_capacity / off).value() / 24.0;
}

Ampere smallest_load(const Plan& plan) {
    Ampere least = Ampere::missing();
    const auto consider = [&](Watt w) {
        if (w.value() <= 0.0) return;
        const Ampere a = w / plan.nominal;
        if (!least.known() || a < least) least = a;
    };
    for (const Appliance& a : plan.appliances) {
        if (a.feed != Feed::battery) continue;
        consider(a.standby);
        consider(a.power);
    }
    for (const Inverter& i : plan.inverters) consider(i.idle);
    return least;
}

std::vector<ShuntVerdict> compare_shunts(const Plan& plan) {
    const Load load = load_of_bank(plan, Reckoning::expected);
    const Ampere smallest = smallest_load(plan);
    std::vector<ShuntVerdict> all;
    for (const Shunt& s : plan.shunts) {
        if (s.circuit.empty() && s.rating.known() && s.rated_drop.known())
            all.push_back(judge(plan, s, load, smallest));
    }
    return all;
}

std::string advise(const Plan& plan, const std::vector<ShuntVerdict>& verdicts) {
    const auto priced = std::ranges::count_if(verdicts, [](const ShuntVerdict& v) { return v.price.known(); });
    if (priced < 2) return "";
    std::vector<ShuntVerdict> fit;
    std::ranges::copy_if(verdicts, std::back_inserter(fit),
                         [](const ShuntVerdict& v) { return v.fit() && v.price.known(); });
    if (fit.empty()) return "None of these with a price both carries the load and sees the smallest draw.";
    std::ranges::stable_sort(fit, {}, &ShuntVerdict::price);
    const ShuntVerdict& cheap = fit.front();
    if (fit.size() == 1) return cheap.name + " is the only one with a price that suits this system.";
    const auto best = std::ranges::max_element(fit, {}, useful_days);
    if (useful_days(*best) <= useful_days(cheap) * 1.2) {
        return cheap.name +
               " is enough here: the dearer ones would not keep the state of charge right noticeably longer between "
               "full charges.";
    }
    return best->name + " costs " + price_words(plan, best->price - cheap.price) + " more than " + cheap.name +
           " and stays within 5 points for " + digits(best->days_to_drift, 2) + " instead of " +
           digits(cheap.days_to_drift, 2) +
           " days without a full charge; worth it if you go longer than that between full charges.";
}

}  // namespace amphora::design

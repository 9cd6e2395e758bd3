#include "core/design/measured_draw.hpp"

#include <algorithm>

#include "core/design/energy.hpp"
#include "core/design/words.hpp"

namespace amphora::design {
namespace {

/// The power at its own plug at which one of them takes `battery` from the battery.
Watt at_the_plug(const Plan& plan, Appliance one, Watt battery) {
    constexpr int enough = 30;  // the efficiency changes little with the power: each round gains a digit
    one.count = 1;
    one.power = battery;
    for (int i = 0; i < enough; ++i) one.power = battery / conversion_factor(plan, one);
    return one.power;
}

void go_by(const Plan& plan, Appliance& a) {
    Appliance one = a;
    one.count = 1;
    const double behind = conversion_factor(plan, one);
    if (a.power <= Watt(0.0) && a.standby > Watt(0.0)) {  // all that it ever draws
        a.measured->described = a.standby * behind;
        a.standby = a.measured->mean / behind;
        return;
    }
    const Watt running = a.power * behind;
    a.measured->described = running * a.duty.value();
    const bool switches_itself = a.duty < Fraction(1.0) && a.power > Watt(0.0);
    if (switches_itself && a.measured->mean <= running) {
        a.duty = Fraction(a.measured->mean / running);
        return;
    }
    if (!switches_itself) a.duty = Fraction(1.0);
    a.power = at_the_plug(plan, a, a.measured->mean / a.duty.value());
}

}  // namespace

void go_by_measured_draws(Plan& plan) {
    for (Appliance& a : plan.appliances) {
        if (a.measured && a.feed != Feed::shore) go_by(plan, a);
    }
}

std::string measured_words(const Appliance& a) {
    if (!a.measured) return {};
    const std::string band = a.measured->band.known() ? " ± " + digits(a.measured->band.value(), 2) : "";
    std::string out = digits(a.measured->mean.value()) + band + " W measured";
    if (a.measured->described > Watt(0.0)) out += ", " + words(a.measured->described) + " described";
    return out;
}

}  // namespace amphora::design

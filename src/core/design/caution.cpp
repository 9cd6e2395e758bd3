#include "core/design/caution.hpp"

#include <algorithm>

namespace amphora::design {

std::vector<std::string> cautions_for(const Plan& plan) {
    std::vector<std::string> all;
    all.emplace_back(
        "A bank of batteries can drive thousands of amperes into a short circuit: main fuse at the battery, insulated "
        "tools, no rings or chains.");
    const bool mains = !plan.inverters.empty() || std::ranges::any_of(plan.chargers, [](const Charger& c) {
        return c.kind == ChargerKind::shore;
    });
    if (mains) {
        all.emplace_back(
            "Inverter output and shore power can kill: local electrical codes apply and a licensed electrician does or "
            "checks that part. Bonding, "
            "residual-current protection and transfer switching are outside what is checked here.");
    }
    if (is_lead_acid(plan.bank.battery.chemistry)) {
        all.emplace_back(
            "Lead-acid batteries give off hydrogen when they are charged: vent them, and keep sparks away.");
    } else {
        all.emplace_back(
            "Lithium cells must not be charged below 0 °C (LTO apart) and want a management system that can disconnect "
            "them.");
    }
    all.emplace_back(
        "Gas and electric sparks share small rooms: keep ignition sources away from gas lockers and from battery "
        "vents.");
    all.emplace_back(
        "This is a check of a plan, not a certificate: makers' instructions, the local code and licensed practice win "
        "where they differ.");
    return all;
}

}  // namespace amphora::design

#include <algorithm>

#include "core/design/rules.hpp"

namespace amphora::design {

Findings check(const Plan& plan) {
    Findings found;
    for (const auto& family : {cable_rules(), fuse_rules()}) {
        for (const CircuitRule rule : family) {
            for (const Circuit& circuit : plan.circuits) rule(plan, circuit, found);
        }
    }
    for (const auto& family : {shunt_rules(), bank_rules(), charger_rules(), solar_rules(), inverter_rules(),
                               balance_rules(), coverage_rules()}) {
        for (const PlanRule rule : family) rule(plan, found);
    }
    std::ranges::stable_sort(found, std::ranges::greater{}, &Finding::severity);
    return found;
}

}  // namespace amphora::design

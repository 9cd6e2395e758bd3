#include "core/design/parts.hpp"

#include <cmath>
#include <map>

#include "core/design/chemistry_limits.hpp"
#include "core/design/words.hpp"

namespace amphora::design {
namespace {

void add_cables(const Plan& plan, std::vector<Part>& list) {
    constexpr double there_and_back = 2.0;
    constexpr double to_spare = 1.1;
    std::map<double, std::pair<ConductorSize, double>> by_area;
    for (const Circuit& c : plan.circuits) {
        if (c.run)
            by_area.try_emplace(c.run->size.area.value(), c.run->size, 0.0).first->second.second +=
                c.run->one_way.value();
    }
    for (const auto& [area, entry] : by_area) {
        const auto& [size, metres] = entry;
        list.push_back({"cable " + name(size) + ", both wires",
                        digits(std::ceil(metres * there_and_back * to_spare), 4) + " m", Money::missing()});
    }
}

void add_fuses(const Plan& plan, std::vector<Part>& list) {
    std::map<std::pair<FuseKind, double>, int> count;
    for (const Circuit& c : plan.circuits) {
        if (c.protection) ++count[{c.protection->kind, c.protection->rating.value()}];
    }
    for (const auto& [what, n] : count) {
        list.push_back({words(Ampere(what.second)) + " " + std::string(data(what.first).words) + " and holder",
                        std::to_string(n), Money::missing()});
    }
}

}  // namespace

std::vector<Part> parts_of(const Plan& plan) {
    std::vector<Part> list;
    const Battery& b = plan.bank.battery;
    const ChemistryLimits& chem = limits(b.chemistry);
    list.push_back({std::string("battery bank, ") + words(chem.nominal * b.cells_in_series) + " " +
                        words(b.design_capacity) + " " + chem.words,
                    plan.bank.strings > 1 ? std::to_string(plan.bank.strings) + " strings" : "1", plan.bank.price});
    for (const Charger& c : plan.chargers) {
        list.push_back({c.name + ": charger, " + words(c.current), "1", c.price});
        if (c.kind != ChargerKind::solar || c.panels.peak <= Watt(0.0)) continue;
        const int panels = c.panels.series * c.panels.strings;
        list.push_back({c.name + ": panels of " + words(c.panels.peak / panels), std::to_string(panels),
                        c.panels.price_per_panel * panels});
    }
    for (const Inverter& i : plan.inverters) list.push_back({i.name + ", " + words(i.power), "1", i.price});
    for (const Shunt& s : plan.shunts) {
        if (s.in_use && s.rating.known())
            list.push_back(
                {s.name + " and meter, " + words(s.rating) + " / " + millivolts(s.rated_drop), "1", s.price});
    }
    add_cables(plan, list);
    add_fuses(plan, list);
    for (const Circuit& c : plan.circuits) {
        if (c.price.known()) list.push_back({"cable and fuse of " + c.name + ", as priced", "1", c.price});
    }
    return list;
}

}  // namespace amphora::design

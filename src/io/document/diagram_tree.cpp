#include "io/document/diagram_tree.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <functional>
#include <iterator>

#include "core/design/sizing.hpp"
#include "core/design/words.hpp"

namespace amphora::document {

using design::Plan;

namespace {

constexpr const char* load_bar = "load bar, relay";
constexpr const char* charge_bar = "charge bar, relay";

std::string cable_words(const design::Circuit& c) {
    if (!c.run) return "cable not described";
    return fmt::format("{}, {}", design::name(c.run->size), design::words(c.run->one_way));
}

void add_consumers(const Plan& plan, const design::Circuit& c, std::vector<Branch>& to) {
    const auto leaf = [&](Symbol symbol, const std::string& name, std::string detail) {
        Branch b;
        b.symbol = symbol;
        b.consumer = name;
        b.detail = std::move(detail);
        b.negative = c.negative;
        to.push_back(std::move(b));
    };
    for (const auto& i : plan.inverters) {
        if (i.circuit == c.name) leaf(Symbol::inverter, i.name, design::words(i.power));
    }
    for (const auto& g : plan.chargers) {
        if (g.circuit != c.name) continue;
        const Symbol s = g.kind == design::ChargerKind::solar        ? Symbol::solar
                         : g.kind == design::ChargerKind::alternator ? Symbol::alternator
                                                                     : Symbol::shore;
        const std::string what = g.kind == design::ChargerKind::solar        ? "solar charger, "
                                 : g.kind == design::ChargerKind::alternator ? "from the alternator, "
                                                                             : "shore charger, ";
        leaf(s, g.name, what + design::words(g.current));
    }
    std::string names;
    Watt sum{};
    int shown = 0;
    int all = 0;
    for (const auto& a : plan.appliances) {
        if (a.feed != design::Feed::battery || a.circuit != c.name) continue;
        ++all;
        sum += a.power * a.count;
        if (shown < 2) {
            names += (names.empty() ? "" : ", ") + a.name;
            ++shown;
        }
    }
    if (all > shown) names += fmt::format(" and {} more", all - shown);
    if (all > 0) leaf(Symbol::load, names, design::words(sum));
}

/// The shunt that measures this circuit alone.
std::string meter_in(const Plan& plan, const design::Circuit& c) {
    for (const auto& s : plan.shunts) {
        if (!s.in_use || s.circuit != c.name) continue;
        if (!s.rating.known() || !s.rated_drop.known()) return s.name;
        return fmt::format("{}, {} / {}", s.name, design::words(s.rating), design::millivolts(s.rated_drop));
    }
    return "";
}

/// The kind of fuse in few letters, as on its body.
const char* kind_label(design::FuseKind kind) {
    switch (kind) {
        case design::FuseKind::blade_mini:
            return "small blade";
        case design::FuseKind::blade:
            return "blade";
        case design::FuseKind::blade_maxi:
            return "large blade";
        case design::FuseKind::sf30:
            return "SF30";
        case design::FuseKind::sf51:
            return "SF51";
        case design::FuseKind::anl:
            return "ANL";
        case design::FuseKind::class_t:
            return "class T";
        case design::FuseKind::nh:
            return "NH";
        case design::FuseKind::terminal:
            return "on the post";
        case design::FuseKind::glass:
            return "glass";
        case design::FuseKind::breaker:
            break;
    }
    return "breaker";
}

Branch branch_of(const Plan& plan, const design::Circuit& c, int depth) {
    Branch b;
    b.above = c.name;
    b.below = cable_words(c);
    b.negative = c.negative;
    b.contact = c.name == load_bar || c.name == charge_bar;
    b.meter = meter_in(plan, c);
    if (c.protection) {
        b.has_fuse = true;
        b.breaker = c.protection->kind == design::FuseKind::breaker;
        b.fuse = fmt::format("{} {}", design::words(c.protection->rating), kind_label(c.protection->kind));
    }
    std::vector<Branch> ends;
    add_consumers(plan, c, ends);
    for (const auto& next : plan.circuits) {
        constexpr int deepest = 12;
        if (next.from == c.name && next.name != c.name && depth < deepest)
            ends.push_back(branch_of(plan, next, depth + 1));
    }
    if (ends.size() == 1 && !ends.front().consumer.empty()) {
        b.symbol = ends.front().symbol;
        b.consumer = ends.front().consumer;
        b.detail = ends.front().detail;
    } else if (ends.empty()) {
        b.consumer = c.name;
        b.detail = c.continuous.known() ? design::words(c.continuous) : "";
    } else {
        b.is_bar = true;
        b.children = std::move(ends);
    }
    return b;
}

bool charges(const Plan& plan, const design::Circuit& c, int depth = 0) {
    constexpr int deepest = 12;
    if (c.purpose == design::Purpose::charger) return true;
    bool any = false;
    for (const auto& next : plan.circuits) {
        if (next.from != c.name || next.name == c.name || depth >= deepest) continue;
        if (!charges(plan, next, depth + 1)) return false;
        any = true;
    }
    return any;
}

}  // namespace

bool has_circuit(const Plan& plan, const std::string& name) {
    return std::ranges::find(plan.circuits, name, &design::Circuit::name) != plan.circuits.end();
}

Plan with_bars(Plan plan, Variant variant) {
    if (variant == Variant::meter_only) return plan;
    const auto is_root = [&](const design::Circuit& c) { return !has_circuit(plan, c.from); };
    std::string start = "battery";
    if (std::ranges::count_if(plan.circuits, is_root) == 1) {
        const auto& root = *std::ranges::find_if(plan.circuits, is_root);
        const bool feeds = std::ranges::find(plan.circuits, root.name, &design::Circuit::from) != plan.circuits.end();
        if (feeds) start = root.name;  // the main fuse stays nearest to the battery
    }
    const Plan before = plan;
    std::vector<design::Circuit> bars;
    const auto move_behind = [&](const char* name, bool chargers) {
        bool any = false;
        for (std::size_t i = 0; i < before.circuits.size(); ++i) {
            const design::Circuit& c = before.circuits[i];
            const bool starts_here = start == "battery" ? !has_circuit(before, c.from) : c.from == start;
            if (!starts_here || charges(before, c) != chargers) continue;
            plan.circuits[i].from = name;
            any = true;
        }
        if (!any) return;
        design::Circuit bar;
        bar.name = name;
        bar.from = start;
        bar.purpose = design::Purpose::panel;
        bars.push_back(std::move(bar));
    };
    move_behind(load_bar, false);
    if (variant == Variant::separate_buses) move_behind(charge_bar, true);
    std::ranges::move(plan.circuits, std::back_inserter(bars));
    plan.circuits = std::move(bars);
    return design::with_wiring(std::move(plan));
}

std::vector<Branch> tree(const Plan& plan) {
    std::vector<Branch> roots;
    for (const auto& c : plan.circuits) {
        if (!has_circuit(plan, c.from)) roots.push_back(branch_of(plan, c, 0));
    }
    return roots;
}

}  // namespace amphora::document

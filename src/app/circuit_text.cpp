#include "app/circuit_text.hpp"

#include <fmt/core.h>

#include <algorithm>

#include "core/design/words.hpp"
#include "io/describe/edit.hpp"

namespace amphora::app {
namespace {

using design::Circuit;
using design::Plan;

const char* purpose_word(design::Purpose p) {
    switch (p) {
        case design::Purpose::main:
            return "main";
        case design::Purpose::panel:
            return "panel";
        case design::Purpose::inverter:
            return "inverter";
        case design::Purpose::charger:
            return "charger";
        case design::Purpose::load:
            break;
    }
    return "load";
}

std::string cable_key(const design::Run& run) {
    return run.size.series == design::SizeSeries::american ? "cable_awg" : "cable_mm2";
}

std::string cable_value(const design::Run& run) {
    const std::string label(run.size.label);
    return run.size.series == design::SizeSeries::american ? describe::quoted(label) : label;
}

std::string circuit_text(const Circuit& c) {
    std::string out = fmt::format("\n[[circuit]]\nname = {}\nfrom = {}\npurpose = \"{}\"\n", describe::quoted(c.name),
                                  describe::quoted(c.from), purpose_word(c.purpose));
    if (c.run) {
        out += fmt::format("{}\ninsulation_c = {:.0f}\nlength_m = {}   # measure it\n",
                           cable_key(*c.run) + " = " + cable_value(*c.run), c.run->laying.insulation.value(),
                           c.run->one_way.value());
    }
    if (c.protection) {
        out += fmt::format("fuse_kind = \"{}\"\nfuse_a = {}\nfuse_from_source_m = {}\n",
                           design::data(c.protection->kind).name, c.protection->rating.value(),
                           c.protection->from_source.value());
    }
    return out;
}

/// The keys that a described circuit lacks, put into its table. What is there stays: a cable that is too thin for its
/// new fuse is the check's to find.
std::string with_missing_keys(std::string text, const Circuit& before, const Circuit& after) {
    if (!before.protection && after.protection) {
        text = describe::with_key(text, "circuit", after.name,
                                  {"fuse_a", fmt::format("{}", after.protection->rating.value())});
        text = describe::with_key(text, "circuit", after.name,
                                  {"fuse_kind", describe::quoted(design::data(after.protection->kind).name)});
    }
    if (!before.run && after.run && !describe::has_key(text, "circuit", after.name, "cable_awg")) {
        text = describe::with_key(text, "circuit", after.name,
                                  {"length_m", fmt::format("{}   # measure it", after.run->one_way.value())});
        text = describe::with_key(text, "circuit", after.name, {cable_key(*after.run), cable_value(*after.run)});
    }
    return text;
}

}  // namespace

std::string with_circuits(std::string text, const Plan& before, const Plan& after) {
    for (const auto& a : after.appliances) {
        if (!a.circuit.empty())
            text = describe::with_key(text, "appliance", a.name, {"circuit", describe::quoted(a.circuit)});
    }
    for (const auto& i : after.inverters)
        text = describe::with_key(text, "inverter", i.name, {"circuit", describe::quoted(i.circuit)});
    for (const auto& c : after.chargers)
        text = describe::with_key(text, "charger", c.name, {"circuit", describe::quoted(c.circuit)});
    std::string added;
    for (const Circuit& c : after.circuits) {
        const auto described = std::ranges::find(before.circuits, c.name, &Circuit::name);
        if (described == before.circuits.end()) {
            added += circuit_text(c);
        } else {
            text = with_missing_keys(std::move(text), *described, c);
        }
    }
    if (added.empty()) return text;
    if (!text.ends_with('\n')) text += '\n';
    return text + "\n# Proposed by `amphora size`: measure the lengths, then run `amphora check` again." + added;
}

}  // namespace amphora::app

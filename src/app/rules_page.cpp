#include "app/rules_page.hpp"

#include <fmt/format.h>

#include "core/design/ampacity.hpp"
#include "core/design/chemistry_limits.hpp"
#include "core/design/fuse.hpp"
#include "core/design/rule_table.hpp"
#include "core/design/words.hpp"

namespace amphora::app {
namespace {

using design::digits;
using design::words;

std::string rules() {
    std::string out = "| rule | gravity | what it asks | limit | source |\n| --- | --- | --- | --- | --- |\n";
    for (const auto& r : design::rule_table())
        out += fmt::format("| `{}` | {} | {} | {} | {} |\n", r.rule, r.severity, r.asks, r.limit, r.source);
    return out;
}

std::string range(Volt low, Volt high) { return fmt::format("{} to {}", digits(low.value()), digits(high.value())); }

std::string chemistries() {
    std::string out =
        "| chemistry | absorption, V a cell | float, V a cell | charge, most | discharge, most | held for, h | "
        "resistance, "
        "Ω·Ah a cell |\n| --- | --- | --- | --- | --- | --- | --- |\n";
    for (const Chemistry c : {Chemistry::lfp, Chemistry::agm, Chemistry::gel, Chemistry::flooded, Chemistry::nmc,
                              Chemistry::nca, Chemistry::lto}) {
        const auto& l = design::limits(c);
        out += fmt::format("| {} | {} | {} | {} C | {} C | {} to {} | {} |\n", l.words,
                           range(l.absorption_low, l.absorption_high), range(l.float_low, l.float_high),
                           digits(l.charge_rate), digits(l.discharge_rate), digits(l.absorption_least.value()),
                           digits(l.absorption_most.value()), digits(l.ohm_ampere_hours));
    }
    return out;
}

std::string fuses() {
    std::string out =
        "| kind | | standard | breaks at 12 V | at 48 V | up to | for a second | sizes, A |\n"
        "| --- | --- | --- | --- | --- | --- | --- | --- |\n";
    for (const auto& f : design::fuse_kinds()) {
        const bool stands_48 = f.highest >= Volt(48.0);
        out += fmt::format("| `\"{}\"` | {} | {} | {} | {} | {} | {} x | {} to {} |\n", f.name, f.words, f.standard,
                           words(design::interrupts_at(f.kind, Volt(12.0))),
                           stands_48 ? words(design::interrupts_at(f.kind, Volt(48.0))) : "-", words(f.highest),
                           digits(f.stands_surge), digits(f.ratings.front()), digits(f.ratings.back()));
    }
    return out;
}

std::string bundles() {
    std::string out = "| current-carrying wires together | factor |\n| --- | --- |\n";
    struct Row {
        const char* wires;
        int count;
    };
    for (const Row& r : {Row{"1 or 2", 2}, Row{"3", 3}, Row{"4 to 6", 6}, Row{"7 to 24", 24}, Row{"25 and more", 25}})
        out += fmt::format("| {} | {} |\n", r.wires, digits(design::bundle_factor(r.count)));
    return out;
}

}  // namespace

std::string rules_page() {
    return "# What the design check looks for\n\n"
           "<!-- Made by `amphora check --rules > docs/reference/findings.md`. Do not edit: a test compares. -->\n\n"
           "`amphora check system.toml` reads the plan with these rules. Each finding says how grave it is, what it "
           "is\n"
           "about, the figures, the rule with its source, and what would mend it. *danger*: can burn, hurt, or spoil "
           "the\n"
           "battery. *warning*: will not work as meant. *note*: worth knowing. A rule that lacks a figure keeps "
           "silent;\n"
           "`plan.wiring-unknown` says what could not be checked.\n\n"
           "Where a limit is marked \"from memory\" or \"common practice\", the part's own data sheet and the "
           "standard's\n"
           "text win. This is a check of a plan: it is no statement that an installation meets any of these "
           "standards,\n"
           "and it stops at the inverter's output and at shore power, which are for the local code and a licensed\n"
           "electrician.\n\n" +
           rules() +
           "\n## By chemistry, at 25 °C\n\nUsual ranges of makers' instructions, from memory; C is the capacity per "
           "hour.\n\n" +
           chemistries() +
           "\n## By kind of fuse\n\nTypical of data sheets, from memory; `fuse_interrupts_a` and `fuse_voltage_v` in "
           "the "
           "description win.\n\n" +
           fuses() + "\n## Bundling\n\n33 CFR 183.425, note 2 to table 5; binding from 50 V on, caution below.\n\n" +
           bundles() +
           "\n## Heat\n\nAbove 30 °C the ampacity falls with √((insulation - surroundings) / (insulation - 30 °C)); an "
           "engine space counts as\n50 °C with the factors of 33 CFR 183.425 table 5 (0.85 for 105 °C insulation read; "
           "60 to 125 °C agree with other codes and that law; 1.00 for 200 °C from memory).\n";
}

}  // namespace amphora::app

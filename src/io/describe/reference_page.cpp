#include "io/describe/reference_page.hpp"

#include <fmt/format.h>

#include "io/describe/chemistry_defaults.hpp"
#include "io/describe/describe.hpp"
#include "io/describe/key.hpp"

namespace amphora::describe {
namespace {

constexpr std::string_view opening = R"(# The description of a system: every key

<!-- Made by `amphora check --keys > docs/reference/system-toml.md`. Do not edit: a test compares. -->

A description is a [TOML](https://toml.io) file that says what your system is made of. Two keys are required, the rest has
defaults; `amphora check system.toml` says what was understood and what was assumed.

```toml
format = 1

[system]
name = "Blue Heron"
nominal_voltage_v = 12

[battery]
chemistry = "lfp"
design_capacity_ah = 200

[[meter]]
name = "shunt"
rated_current_a = 300
rated_drop_mv = 75
```

- Every key ends in its unit where it has one: `_v` volt, `_a` ampere, `_ah` ampere-hour, `_mv` millivolt, `_s` second,
  `_h` hour, `_m` metre. Shares are fractions: 20 % is `0.2`.
- Current is positive into the battery.
- A mistake is reported as `file:line:column: key: expected ..., found ...`, all of them at once, and ends the program with
  exit code 78. A key that is not listed here is a mistake.
)";

constexpr std::string_view closing = R"(
A calculation made from a description is a check, not a certificate: the makers' instructions and the local code win where
they differ.
)";

std::string heading(const Table& table) {
    if (table.path.empty()) return "The top of the file";
    return table.presence == Presence::repeated ? fmt::format("`[[{}]]`", table.path)
                                                : fmt::format("`[{}]`", table.path);
}

std::string takes(const Key& key) {
    const auto& [low, high] = key.range;
    const auto unit = key.unit.empty() ? "" : fmt::format(" {}", key.unit);
    switch (key.kind) {
        case Kind::text:
            return fmt::format("text, {:.0f} to {:.0f} characters", low, high);
        case Kind::number:
            return fmt::format("number, {} to {}{}", low, high, unit);
        case Kind::whole:
            return low == high ? fmt::format("{}", low) : fmt::format("whole number, {} to {}{}", low, high, unit);
        case Kind::numbers:
            return fmt::format("list of numbers, {} to {}{}", low, high, unit);
        case Kind::texts:
            return fmt::format("list of texts, {:.0f} to {:.0f} characters", low, high);
        case Kind::date:
            return "date, as 2024-05-31";
        case Kind::flag:
            return "`true` or `false`";
        case Kind::word:
            break;
    }
    std::string words;
    for (const auto word : key.words) words += fmt::format("{}`\"{}\"`", words.empty() ? "" : ", ", word);
    return words;
}

std::string row(const Key& key) {
    const auto fallback = key.required ? std::string("**required**") : std::string(key.otherwise.text);
    const auto source = key.required ? std::string("-") : std::string(key.otherwise.source);
    return fmt::format("| `{}` | {} | {} | {} | {} |\n", key.name, key.meaning, takes(key), fallback, source);
}

std::string section(const Table& table) {
    auto out = fmt::format("\n## {}\n\n{}{}\n\n", heading(table), table.meaning,
                           table.presence == Presence::optional ? " The whole table may be left out." : "");
    out += "| key | meaning | takes | if not given | where that comes from |\n| --- | --- | --- | --- | --- |\n";
    for (const auto& key : table.keys) out += row(key);
    return out;
}

std::string chemistries() {
    std::string out =
        "\n## What is assumed by chemistry\n\n"
        "Full evidence is per cell and per capacity: 3.475 V and 0.04 C are 13.9 V and 8 A for four cells and 200 Ah. "
        "The "
        "nominal cell voltages are those of cell data sheets, from memory. A battery of so many cells in series must "
        "match the system's nominal voltage: the sum of the nominal cell voltages over it lies within the limits of "
        "the last column.\n\n"
        "| chemistry | | nominal cell | full: voltage | full: current | full: time | where that comes from | sum / "
        "system |\n"
        "| --- | --- | --- | --- | --- | --- | --- | --- |\n";
    for (const auto& c : all_chemistries())
        out += fmt::format("| `\"{}\"` | {} | {} V | {} V | {} C | {} s | {} | {} to {} |\n", c.word, c.name,
                           c.nominal.value(), c.full_voltage.value(), c.full_current.value(), c.full_time.value(),
                           c.full_source, c.least_match, c.most_match);
    return out;
}

}  // namespace

std::string reference_page() {
    std::string out(opening);
    for (const auto& table : all_tables()) out += section(table);
    return out + chemistries() + std::string(closing);
}

}  // namespace amphora::describe

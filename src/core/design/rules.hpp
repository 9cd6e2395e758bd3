// The design rules, one small function each, gathered by family. A rule looks at one thing of the plan and adds what it
// finds; it never changes the plan and never depends on another rule.
#pragma once

#include <span>

#include "core/design/finding.hpp"
#include "core/design/plan.hpp"

namespace amphora::design {

using PlanRule = void (*)(const Plan&, Findings&);
using CircuitRule = void (*)(const Plan&, const Circuit&, Findings&);

[[nodiscard]] std::span<const CircuitRule> cable_rules();
[[nodiscard]] std::span<const CircuitRule> fuse_rules();
[[nodiscard]] std::span<const PlanRule> shunt_rules();
[[nodiscard]] std::span<const PlanRule> bank_rules();
[[nodiscard]] std::span<const PlanRule> charger_rules();
[[nodiscard]] std::span<const PlanRule> solar_rules();
[[nodiscard]] std::span<const PlanRule> inverter_rules();
[[nodiscard]] std::span<const PlanRule> balance_rules();
[[nodiscard]] std::span<const PlanRule> coverage_rules();

/// Every finding on the plan, gravest first; within one severity in the order of the rules and circuits.
[[nodiscard]] Findings check(const Plan& plan);

}  // namespace amphora::design

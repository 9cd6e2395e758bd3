// Six 6 V batteries as a 12 V bank, 2,400 A each: strings add, batteries in series do not, 7,200 A (a public summary of
// ABYC E-11). And current falls along the cable: Ohm's law.
#include <gtest/gtest.h>

#include "core/design/load.hpp"
#include "support/plans.hpp"

namespace amphora::design {
namespace {

TEST(BankShortCircuit, ThreeStrings) { EXPECT_EQ(short_circuit_of_strings(Ampere(2400), 3), Ampere(7200)); }

TEST(BankShortCircuit, FallsAlongTheCable) {
    Plan plan = small_bank();
    plan.bank.short_circuit = Ampere(7200);
    plan.circuits.push_back(circuit("main", "battery", metric(16, 2.0, 105), fuse(FuseKind::class_t, 100)));
    plan.circuits.push_back(circuit("light", "main", metric(2.5, 2.0, 105), fuse(FuseKind::blade, 10)));
    EXPECT_EQ(fault_current(plan, plan.circuits[0]), Ampere(7200));
    // 13.32 V / 7200 A = 1.85 milliohm; 4 m of 16 mm2 add 4.84.
    EXPECT_NEAR(fault_current(plan, plan.circuits[1]).value(), 13.32 / (1.85e-3 + 4.84e-3), 5.0);
}

}  // namespace
}  // namespace amphora::design

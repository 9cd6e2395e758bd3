// Rated pairs of shunts (DIN 43703 and makers' data pages, agreeing): resistance, heat, two thirds of the rating; and
// the days until an offset has put the state of charge five points off.
#include <gtest/gtest.h>

#include <algorithm>

#include "core/design/rules.hpp"
#include "core/design/shunt_choice.hpp"
#include "support/plans.hpp"

namespace amphora::design {
namespace {

TEST(ShuntPairs, HeatAndDropAtTwoThirds) {
    struct Row {
        double amperes, millivolts, at, drop_mv, watts;
    };
    for (const Row& r :
         {Row{100, 50, 66.667, 33.333, 2.2222}, Row{200, 50, 133.333, 33.333, 4.4444}, Row{300, 75, 200, 50, 10},
          Row{500, 50, 333.333, 33.333, 11.111}, Row{500, 100, 333.333, 66.667, 22.222}}) {
        Plan plan = small_bank();
        plan.shunts.push_back(shunt("s", r.amperes, r.millivolts));
        plan.appliances.push_back(appliance("everything", r.at * 12.0));
        const auto verdict = compare_shunts(plan).front();
        EXPECT_NEAR(verdict.heat.value(), r.watts, 1e-3);
        EXPECT_NEAR(verdict.drop.value() * 1000.0, r.drop_mv, 1e-3);
        EXPECT_NEAR(verdict.load_share, 1.0, 1e-4);
        EXPECT_TRUE(verdict.carries);
    }
}

/// 200 Ah and 20 mA: 5 points in 20.83 days (computed).
TEST(ShuntPairs, DaysToFivePoints) {
    Plan plan = small_bank();
    plan.bank.battery.design_capacity = AmpHour(200);
    Shunt s = shunt("s", 500, 50);
    s.offset = Volt(2e-6);  // 20 mA on 100 micro-ohm
    EXPECT_NEAR(days_to_drift(plan, s, Fraction(0.05)), 20.8333, 1e-3);
}

}  // namespace
}  // namespace amphora::design

// One LFP cell of 1.2 Ah, 25 h of varying load across the flat zone at 10 C, with both branches of its open-circuit
// voltage: github.com/terencetaothucb/LFP-SOC-Estimation-Fisher-Information-Fusion (2025-04-14), MIT, (c) 2025 Terence
// (Shengyu) Tao. Its reference column was made by integrating the current over 1.2 Ah, so it checks arithmetic.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "reference/measured_cells.hpp"

namespace amphora {
namespace {

TEST(Lfp12Ah, ReferenceColumnIsTheIntegralOfTheCurrent) {
    const auto table = measured::lfp_flat_zone();
    AMPHORA_NEEDS(table);
    ASSERT_EQ(table->rows(), 91260U);
    const auto readings = measured::lfp_readings(*table);
    const auto& reference = table->column("soc_reference");
    EXPECT_NEAR(reference.front(), 0.19917, 1e-5);
    EXPECT_NEAR(reference.back(), 0.19305, 1e-5);
    AmpHour charge;
    double worst = 0;
    for (std::size_t k = 1; k < readings.size(); ++k) {
        charge += readings[k].current * (readings[k].at - readings[k - 1].at);
        worst = std::max(worst, std::abs(reference.front() + charge / AmpHour(1.2) - reference[k]));
    }
    EXPECT_LT(worst, 0.00035);
}

// Between 20 and 90 %: mean 42.2 mV, at most 58.2 mV, and at 50 % 3.316772 and 3.279634 V, as the set's description
// says.
TEST(Lfp12Ah, HysteresisBetweenTheBranches) {
    const auto table = measured::lfp_branches();
    AMPHORA_NEEDS(table);
    ASSERT_EQ(table->rows(), 2001U);
    const auto &percent = table->column("soc_percent"), &up = table->column("ocv_charge_V"),
               &down = table->column("ocv_discharge_V");
    double sum = 0, most = 0;
    int count = 0;
    for (std::size_t k = 0; k < table->rows(); ++k) {
        if (percent[k] < 20 || percent[k] > 90) continue;
        sum += up[k] - down[k];
        most = std::max(most, up[k] - down[k]);
        ++count;
    }
    EXPECT_NEAR(sum / count, 0.0422, 5e-5);
    EXPECT_NEAR(most, 0.0582, 5e-5);
    EXPECT_DOUBLE_EQ(percent[1000], 50);
    EXPECT_NEAR(up[1000], 3.316772, 5e-7);
    EXPECT_NEAR(down[1000], 3.279634, 5e-7);
}

}  // namespace
}  // namespace amphora

// Temperature compensation of charge voltages. Read in an encyclopedia's article "Float voltage" (absoluteastronomy.com
// copy): a six-cell flooded battery floats at 13.4 V at 25 C; with -5 mV/K per cell, 13.25 V at 30 C. Exact.
#include "core/battery/charge_voltage.hpp"

#include <gtest/gtest.h>

namespace amphora {
namespace {

TEST(ChargeVoltage, FloatVoltageArticle) {
    EXPECT_NEAR(compensated(Volt(13.4), VoltPerKelvin(-5e-3), 6, Celsius(30)).value(), 13.25, 1e-12);
}

// -3 mV/K per cell: 2.30 V at 25 C becomes 2.27 V at 35 C and 2.33 V at 15 C (read in several copies); for six cells
// 13.62 and 13.98 V (recomputed).
TEST(ChargeVoltage, MinusThreeMillivolts) {
    EXPECT_NEAR(compensated(Volt(2.30), VoltPerKelvin(-3e-3), 1, Celsius(35)).value(), 2.27, 1e-12);
    EXPECT_NEAR(compensated(Volt(2.30), VoltPerKelvin(-3e-3), 1, Celsius(15)).value(), 2.33, 1e-12);
    EXPECT_NEAR(compensated(Volt(13.80), VoltPerKelvin(-3e-3), 6, Celsius(35)).value(), 13.62, 1e-12);
    EXPECT_NEAR(compensated(Volt(13.80), VoltPerKelvin(-3e-3), 6, Celsius(15)).value(), 13.98, 1e-12);
}

}  // namespace
}  // namespace amphora

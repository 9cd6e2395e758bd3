// Pseudo open-circuit voltage of an LFP cell (APR18650M1B, 1.1 Ah, C/32, room temperature) as ten optimal breakpoints:
// S. Sunil, K. Pattipati, B. Balasingam, IEEE Trans. Instrum. Meas. (2025); table read in the authors' public
// repository (soorajsunil/Piecewise-Battery-OCV). Values between breakpoints recomputed by linear interpolation.
#include <gtest/gtest.h>

#include <array>

#include "core/quantity/curve.hpp"

namespace amphora {
namespace {

constexpr std::array<CurvePoint<Fraction, Volt>, 10> breakpoints{{
    {Fraction(0), Volt(2.0102)},
    {Fraction(0.0033), Volt(2.4177)},
    {Fraction(0.0117), Volt(2.7405)},
    {Fraction(0.0267), Volt(2.9299)},
    {Fraction(0.0534), Volt(3.0872)},
    {Fraction(0.0885), Volt(3.1942)},
    {Fraction(0.2972), Volt(3.2772)},
    {Fraction(0.9833), Volt(3.3511)},
    {Fraction(0.9950), Volt(3.4180)},
    {Fraction(1), Volt(3.5981)},
}};

TEST(Sunil2025, InterpolatesBetweenBreakpoints) {
    const Curve<Fraction, Volt> ocv(breakpoints);
    EXPECT_NEAR(ocv.at(Fraction(0.1)).value(), 3.19877, 1e-5);
    EXPECT_NEAR(ocv.at(Fraction(0.2)).value(), 3.23854, 1e-5);
    EXPECT_NEAR(ocv.at(Fraction(0.3)).value(), 3.27750, 1e-5);
    EXPECT_NEAR(ocv.at(Fraction(0.5)).value(), 3.29904, 1e-5);
    EXPECT_NEAR(ocv.at(Fraction(0.7)).value(), 3.32059, 1e-5);
    EXPECT_NEAR(ocv.at(Fraction(0.9)).value(), 3.34213, 1e-5);
    EXPECT_NEAR(ocv.at(Fraction(0.95)).value(), 3.34751, 1e-5);
    EXPECT_NEAR(4 * ocv.at(Fraction(0.5)).value(), 13.19617, 2e-5);
}

// 1.077 mV per point and cell on the plateau: 10 mV on a 12.8 V battery is 2.3 points.
TEST(Sunil2025, ThePlateauIsNearlyFlat) {
    const Curve<Fraction, Volt> ocv(breakpoints);
    const Volt per_point = (ocv.at(Fraction(0.9)) - ocv.at(Fraction(0.4))) / 50;
    EXPECT_NEAR(per_point.value(), 1.077e-3, 1e-6);
    EXPECT_NEAR(Volt(10e-3) / (4 * per_point), 2.32, 0.01);
}

}  // namespace
}  // namespace amphora

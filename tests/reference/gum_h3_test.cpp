// JCGM 100:2008 (GUM), example H.3: a linear calibration curve, here of a thermometer; a shunt meter's has the same
// shape. Data read in two metrology institutes' example files. Printed results from memory, further digits recomputed.
#include <gtest/gtest.h>

#include <array>
#include <vector>

#include "core/meter/straight_line.hpp"

namespace amphora {
namespace {

constexpr std::array shown{21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511};
constexpr std::array correction{-0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.160};

TEST(GumH3, CalibrationCurve) {
    std::vector<PairedReading<Celsius>> points;
    for (std::size_t i = 0; i < shown.size(); ++i) points.push_back({Celsius(shown[i] - 20), Celsius(correction[i])});
    const auto fit = fit_line<Celsius>(points);
    EXPECT_NEAR(fit.line.offset.mean.value(), -0.171204, 1e-6);
    EXPECT_NEAR(fit.line.offset.sd.value(), 0.00287760, 1e-8);
    EXPECT_NEAR(fit.line.gain.mean.value(), 0.00218270, 1e-8);
    EXPECT_NEAR(fit.line.gain.sd.value(), 0.00066794, 1e-8);
    EXPECT_NEAR(fit.line.covariance.value() / (fit.line.offset.sd.value() * fit.line.gain.sd.value()), -0.930430, 1e-6);
    EXPECT_NEAR(fit.residual_sd.value(), 0.00349756, 1e-8);
    const Uncertain<Celsius> at_30 = fit.line.at(Celsius(10));
    EXPECT_NEAR(at_30.mean.value(), -0.149377, 1e-6);
    EXPECT_NEAR(at_30.sd.value(), 0.00413860, 1e-8);
}

}  // namespace
}  // namespace amphora

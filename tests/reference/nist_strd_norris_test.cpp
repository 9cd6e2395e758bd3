// NIST Statistical Reference Datasets, linear regression, Norris: calibration of an ozone monitor, 36 points, certified
// to fifteen digits (read in the tests of three numerical libraries). Tolerance 1e-10 relative.
#include <gtest/gtest.h>

#include <array>
#include <vector>

#include "core/meter/straight_line.hpp"

namespace amphora {
namespace {

constexpr std::array norris_x{0.2, 337.4, 118.2, 884.6, 10.1,  226.5, 666.3, 996.3, 448.6, 777.0, 558.2, 0.4,
                              0.6, 775.5, 666.9, 338.0, 447.5, 11.6,  556.0, 228.1, 995.8, 887.6, 120.2, 0.3,
                              0.3, 556.8, 339.1, 887.2, 999.0, 779.0, 11.1,  118.3, 229.2, 669.1, 448.9, 0.5};
constexpr std::array norris_y{0.1, 338.8, 118.1, 888.0, 9.2,   228.1, 668.5, 998.5, 449.1, 778.9, 559.2, 0.3,
                              0.1, 778.1, 668.8, 339.3, 448.9, 10.8,  557.7, 228.3, 998.0, 888.8, 119.6, 0.3,
                              0.6, 557.6, 339.3, 888.0, 998.5, 778.9, 10.2,  117.6, 228.9, 668.4, 449.2, 0.2};

void expect_relative(double value, double certified) { EXPECT_NEAR(value / certified, 1.0, 1e-10) << certified; }

TEST(NistStrd, Norris) {
    std::vector<PairedReading<Ampere>> points;
    for (std::size_t i = 0; i < norris_x.size(); ++i) points.push_back({Ampere(norris_x[i]), Ampere(norris_y[i])});
    const auto fit = fit_line<Ampere>(points);
    expect_relative(fit.line.offset.mean.value(), -0.262323073774029);
    expect_relative(fit.line.offset.sd.value(), 0.232818234301152);
    expect_relative(fit.line.gain.mean.value(), 1.00211681802045);
    expect_relative(fit.line.gain.sd.value(), 0.429796848199937e-3);
    expect_relative(fit.line.covariance.value(), -7.74327536339570e-5);
    expect_relative(fit.residual_sd.value(), 0.884796396144373);
    expect_relative(fit.explained.value(), 0.999993745883712);
}

// A case to follow by hand (read): x 0 1 2 3, y 0 1 1 2.
TEST(StraightLine, ByHand) {
    const std::vector<PairedReading<Ampere>> points{
        {Ampere(0), Ampere(0)}, {Ampere(1), Ampere(1)}, {Ampere(2), Ampere(1)}, {Ampere(3), Ampere(2)}};
    const auto fit = fit_line<Ampere>(points);
    EXPECT_NEAR(fit.line.gain.mean.value(), 0.6, 1e-14);
    EXPECT_NEAR(fit.line.offset.mean.value(), 0.1, 1e-14);
    EXPECT_NEAR(fit.residual_sd.value(), std::sqrt(0.1), 1e-14);
    EXPECT_NEAR(fit.line.gain.sd.value(), std::sqrt(0.1 / 5), 1e-14);
    EXPECT_NEAR(fit.line.offset.sd.value(), std::sqrt(0.1 * (0.25 + 1.5 * 1.5 / 5)), 1e-14);
}

}  // namespace
}  // namespace amphora

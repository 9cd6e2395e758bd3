// D. York, N. Evensen, M. Lopez Martinez, J. De Basabe Delgado, "Unified equations for the slope, intercept, and
// standard errors of the best straight line", Am. J. Phys. 72 (2004) 367, Table II: Pearson's data with York's weights.
// Results read in the tests of three fitting libraries; recomputed to twelve digits.
#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <vector>

#include "core/meter/errors_in_both.hpp"

namespace amphora {
namespace {

constexpr std::array york_x{0.0, 0.9, 1.8, 2.6, 3.3, 4.4, 5.2, 6.1, 6.5, 7.4};
constexpr std::array york_y{5.9, 5.4, 4.4, 4.6, 3.5, 3.7, 2.8, 2.8, 2.4, 1.5};
constexpr std::array x_weight{1000.0, 1000.0, 500.0, 800.0, 200.0, 80.0, 60.0, 20.0, 1.8, 1.0};
constexpr std::array y_weight{1.0, 1.8, 4.0, 8.0, 20.0, 20.0, 70.0, 70.0, 100.0, 500.0};

TEST(York2004, PearsonsDataWithYorksWeights) {
    std::vector<UncertainPair<Ampere>> points;
    for (std::size_t i = 0; i < york_x.size(); ++i)
        points.push_back({{Ampere(york_x[i]), Ampere(1 / std::sqrt(x_weight[i]))},
                          {Ampere(york_y[i]), Ampere(1 / std::sqrt(y_weight[i]))}});
    const auto line = york_line<Ampere>(points);
    EXPECT_NEAR(line.offset.mean.value(), 5.47991022403, 1e-10);
    EXPECT_NEAR(line.gain.mean.value(), -0.48053340745, 1e-10);
    EXPECT_NEAR(line.offset.sd.value(), 0.294970735, 1e-8);
    EXPECT_NEAR(line.gain.sd.value(), 0.0579850090, 1e-9);
    EXPECT_NEAR(misfit<Ampere>(points, line), 1.483294149, 1e-8);
    // Errors scaled by the misfit, as some packages print them.
    const double scale = std::sqrt(misfit<Ampere>(points, line));
    EXPECT_NEAR(line.offset.sd.value() * scale, 0.359246523, 1e-8);
    EXPECT_NEAR(line.gain.sd.value() * scale, 0.070620270, 1e-8);
}

// K. Pearson's own line of 1901 is the unweighted orthogonal one; an older table of the literature prints 5.7857,
// -0.546.
TEST(Pearson1901, OrthogonalLine) {
    std::vector<PairedReading<Ampere>> points;
    for (std::size_t i = 0; i < york_x.size(); ++i) points.push_back({Ampere(york_x[i]), Ampere(york_y[i])});
    const auto line = deming_line<Ampere>(points, 1);
    EXPECT_NEAR(line.offset.value(), 5.784044, 1e-6);
    EXPECT_NEAR(line.gain.value(), -0.545561, 1e-6);
    EXPECT_NEAR(line.offset.value(), 5.7857, 0.002);
    EXPECT_NEAR(line.gain.value(), -0.546, 0.002);
}

}  // namespace
}  // namespace amphora

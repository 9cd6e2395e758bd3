// Deming regression, first example of a statistics package's manual (NCSS, "Deming Regression"): inputs read, printed
// result -0.0897 and 1.0012 from memory, further digits and other ratios recomputed.
#include <gtest/gtest.h>

#include <array>
#include <vector>

#include "core/meter/errors_in_both.hpp"

namespace amphora {
namespace {

constexpr std::array x{7.0, 8.3, 10.5, 9.0, 5.1, 8.2, 10.2, 10.3, 7.1, 5.9};
constexpr std::array y{7.9, 8.2, 9.6, 9.0, 6.5, 7.3, 10.2, 10.6, 6.3, 5.2};

PlainLine<Ampere> line(double ratio) {
    std::vector<PairedReading<Ampere>> points;
    for (std::size_t i = 0; i < x.size(); ++i) points.push_back({Ampere(x[i]), Ampere(y[i])});
    return deming_line<Ampere>(points, ratio);
}

TEST(Deming, PackageManual) {
    EXPECT_NEAR(line(0.008 / 0.032).offset.value(), -0.0897449, 1e-7);
    EXPECT_NEAR(line(0.008 / 0.032).gain.value(), 1.0011942, 1e-7);
}

// The same data with the ratio at one and turned over: whoever divides the wrong way round is caught here.
TEST(Deming, RatioIsTestedOverReference) {
    EXPECT_NEAR(line(1).offset.value(), 0.3909254, 1e-7);
    EXPECT_NEAR(line(1).gain.value(), 0.9422886, 1e-7);
    EXPECT_NEAR(line(4).offset.value(), 0.8127080, 1e-7);
    EXPECT_NEAR(line(4).gain.value(), 0.8905995, 1e-7);
}

}  // namespace
}  // namespace amphora

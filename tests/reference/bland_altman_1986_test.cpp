// J. M. Bland and D. G. Altman, "Statistical methods for assessing agreement between two methods of clinical
// measurement", Lancet i (1986) 307-310: two flow meters, 17 subjects, each read twice. Data read; results read and
// recomputed.
#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <vector>

#include "core/meter/comparison.hpp"

namespace amphora {
namespace {

using Series = std::array<double, 17>;
constexpr Series large_1{494, 395, 516, 434, 476, 557, 413, 442, 650, 433, 417, 656, 267, 478, 178, 423, 427};
constexpr Series small_1{512, 430, 520, 428, 500, 600, 364, 380, 658, 445, 432, 626, 260, 477, 259, 350, 451};
constexpr Series large_2{490, 397, 512, 401, 470, 611, 415, 431, 638, 429, 420, 633, 275, 492, 165, 372, 421};
constexpr Series small_2{525, 415, 508, 444, 500, 625, 460, 390, 642, 432, 420, 605, 227, 467, 268, 370, 443};

std::vector<PairedReading<Ampere>> pairs(const Series& a, const Series& b) {
    std::vector<PairedReading<Ampere>> points;
    for (std::size_t i = 0; i < a.size(); ++i) points.push_back({Ampere(a[i]), Ampere(b[i])});
    return points;
}

TEST(BlandAltman1986, Agreement) {
    const auto a = agreement<Ampere>(pairs(large_1, small_1));
    EXPECT_NEAR(a.bias.mean.value(), -2.117647, 1e-6);
    EXPECT_NEAR(a.spread.value(), 38.765130, 1e-6);
    EXPECT_NEAR(a.bias.sd.value(), 9.401925, 1e-6);
    EXPECT_NEAR(a.limit_error.value(), 16.284612, 1e-6);
    EXPECT_NEAR(a.lower_limit().value(), -78.09591, 1e-5);
    EXPECT_NEAR(a.upper_limit().value(), 73.86061, 1e-5);
    // As printed, with two standard deviations.
    EXPECT_NEAR((a.bias.mean - a.spread * 2).value(), -79.7, 0.1);
    EXPECT_NEAR((a.bias.mean + a.spread * 2).value(), 75.5, 0.1);
    // 95 % interval of the bias: Student's t, 16 degrees of freedom, 2.119905.
    EXPECT_NEAR((a.bias.mean - a.bias.sd * 2.119905).value(), -22.04884, 1e-4);
    EXPECT_NEAR((a.bias.mean + a.bias.sd * 2.119905).value(), 17.81354, 1e-4);
}

TEST(BlandAltman1986, Repeatability) {
    EXPECT_NEAR(repeatability<Ampere>(pairs(large_1, large_2)).value(), 43.294, 1e-3);
    EXPECT_NEAR(repeatability<Ampere>(pairs(small_1, small_2)).value(), 56.316, 1e-3);
}

}  // namespace
}  // namespace amphora

// Duffie and Beckman (and Blair), "Solar Engineering of Thermal Processes", examples 1.6.1, 1.6.2 and 2.15.1.
// The printed results of 1.6.1, 1.6.2 and 2.15.1 are from memory and were recomputed; the statements were read.
#include <gtest/gtest.h>

#include "core/sun/plane.hpp"
#include "core/sun/position.hpp"

namespace amphora::sun {
namespace {

/// The book counts azimuth from south, positive west.
double from_south(const Position& p) { return p.azimuth.value() - 180.0; }

TEST(DuffieBeckman, Example161AngleOfIncidence) {
    const Position p = position(Degree(43.0), Degree(-13.95), Degree(-22.5));
    EXPECT_NEAR(incidence(p, Degree(45.0), Degree(195.0)).value(), 35.2, 0.1);
}

TEST(DuffieBeckman, Example162SunInTheSky) {
    const Position winter = position(Degree(43.0), Degree(-13.95), Degree(-37.5));
    EXPECT_NEAR(winter.zenith.value(), 66.5, 0.1);
    EXPECT_NEAR(from_south(winter), -40.1, 0.1);
    const Position summer = position(Degree(43.0), Degree(23.12), Degree(97.5));
    EXPECT_NEAR(summer.zenith.value(), 79.6, 0.1);
    EXPECT_NEAR(from_south(summer), 112.0, 0.1);
}

/// Slope 60 degrees to the south, 40 N, 20 February, 9 to 10 h, 1.04 MJ/m2 over the hour, snow (0.60).
struct February20 {
    double share = diffuse_share_of_hour(1.04 / 2.33487);
    Horizontal sky{.beam = 1.04 * (1.0 - share), .diffuse = 1.04 * share, .extraterrestrial = 2.33487};
    Facing facing{.beam_ratio = 1.71326, .tilt = Degree(60.0), .ground_reflectance = 0.60};
};

TEST(DuffieBeckman, Example2151IsotropicSky) {
    const February20 hour;
    EXPECT_NEAR(hour.share, 0.766, 0.001);
    const OnPlane on = isotropic(hour.sky, hour.facing);
    EXPECT_NEAR(on.beam, 0.418, 0.002);
    EXPECT_NEAR(on.diffuse, 0.597, 0.002);
    EXPECT_NEAR(on.ground, 0.156, 0.002);
    EXPECT_NEAR(on.total(), 1.17, 0.01);
}

/// Recomputed from the book's formulas; the printed results were not seen.
TEST(DuffieBeckman, BrightSkyAroundTheSun) {
    const February20 hour;
    EXPECT_NEAR(hay_davies(hour.sky, hour.facing).total(), 1.25104, 0.0005);
    EXPECT_NEAR(hay_davies_reindl(hour.sky, hour.facing).total(), 1.28341, 0.0005);
}

}  // namespace
}  // namespace amphora::sun

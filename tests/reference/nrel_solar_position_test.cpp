// Reda and Andreas, "Solar Position Algorithm for Solar Radiation Applications", NREL/TP-560-34302, Appendix A.5.
// Our formula is the short one of the United States Naval Observatory: the report's geometric zenith to 0.02 degree.
#include <gtest/gtest.h>

#include "core/sun/position.hpp"

namespace amphora::sun {
namespace {

constexpr Instant golden_2003_10_17{1066419030LL * 1000000};  // 12:30:30 at UTC-7
const Place golden{.latitude = Degree(39.742476), .longitude = Degree(-105.1786), .altitude = Metre(1830.14)};

TEST(NrelSolarPosition, ZenithAndAzimuth) {
    const Position p = position(golden_2003_10_17, golden);
    EXPECT_NEAR(p.zenith.value(), 50.12795, 0.02);  // the example without refraction (that figure from memory)
    EXPECT_NEAR(p.azimuth.value(), 194.34024, 0.02);
    EXPECT_NEAR(p.declination.value(), -9.31434, 0.01);
    EXPECT_NEAR(p.hour_angle.value(), 11.105902, 0.02);
    EXPECT_NEAR(p.distance_au, 0.9965421031, 1e-4);
}

TEST(NrelSolarPosition, IncidenceOnATiltedSurface) {
    // Slope 30 degrees, turned 10 degrees east of south (the report's -10 degrees from south, positive west).
    const Position p = position(golden_2003_10_17, golden);
    EXPECT_NEAR(incidence(p, Degree(30.0), Degree(170.0)).value(), 25.18700, 0.03);
}

}  // namespace
}  // namespace amphora::sun

// United States Naval Observatory, approximate solar coordinates, against its own almanac program for 2016-10-26 21:00
// UT.
#include <gtest/gtest.h>

#include "core/sun/position.hpp"

namespace amphora::sun {
namespace {

TEST(UsnoAlmanac, Autumn2016) {
    const Ephemeris e = ephemeris(Instant::from_unix(1477515600.0));
    EXPECT_NEAR(e.equation_of_time.value() / 60.0, 16.123, 0.05);
    EXPECT_NEAR(e.declination.value(), -12.807, 0.01);
    EXPECT_NEAR(e.right_ascension.value(), 211.63, 0.01);
}

}  // namespace
}  // namespace amphora::sun

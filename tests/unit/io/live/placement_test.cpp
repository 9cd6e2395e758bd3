#include "io/live/placement.hpp"

#include <gtest/gtest.h>

namespace amphora::live {
namespace {

constexpr std::int64_t s = 1'000'000;
constexpr Instant noon{1'700'000'000 * s};

TEST(FirstPlace, IsTheClockOnTheWallWhereThatIsKeptRight) {
    const BootPlace place = first_place({noon, true}, BootTime{100 * s}, Instant{noon.us + 3600 * s});
    EXPECT_EQ(place.clock_us, noon.us - 100 * s);
    EXPECT_TRUE(place.synchronised);
}

TEST(FirstPlace, GoesOnAfterTheRecordWhereTheClockStartsInThePast) {
    const BootPlace place = first_place({Instant{0}, false}, BootTime{100 * s}, noon);
    EXPECT_EQ(Placement(place).utc(BootTime{100 * s}).us, noon.us + s);
    EXPECT_FALSE(place.synchronised);
    EXPECT_EQ(first_place({noon, false}, BootTime{0}, Instant{5}).clock_us, noon.us);
}

TEST(Placement, AClockThatNobodyKeepsRightChangesNothing) {
    Placement placement({noon.us, false});
    for (int t = 0; t < 100; ++t) {
        EXPECT_FALSE(placement.correction({Instant{noon.us - 3600 * s + t * s}, false}, BootTime{t * s}));
        EXPECT_FALSE(placement.correction({Instant{noon.us + 31'536'000 * s}, false}, BootTime{t * s}));
    }
}

TEST(Placement, TheTrueTimeMovesTheBootOnceItStandsFirm) {
    Placement placement({noon.us, false});
    std::optional<std::int64_t> shift;
    int t = 0;
    for (; t < 60 && !shift; ++t)
        shift = placement.correction({Instant{noon.us + (500 + t) * s}, true}, BootTime{t * s});
    ASSERT_TRUE(shift);
    EXPECT_EQ(*shift, 500 * s);
    EXPECT_NEAR(t, 11, 1);
    placement.move(*shift);
    EXPECT_TRUE(placement.synchronised());
    EXPECT_EQ(placement.utc(BootTime{0}).us, noon.us + 500 * s);
    for (; t < 120; ++t) EXPECT_FALSE(placement.correction({Instant{noon.us + (501 + t) * s}, true}, BootTime{t * s}));
}

TEST(Placement, AJumpThatIsTakenBackMovesNothing) {
    Placement placement({noon.us, true});
    for (int t = 0; t < 60; ++t) {
        const std::int64_t jump = t >= 20 && t < 28 ? 31'536'000 * s : 0;
        EXPECT_FALSE(placement.correction({Instant{noon.us + t * s + jump}, true}, BootTime{t * s}));
    }
}

}  // namespace
}  // namespace amphora::live

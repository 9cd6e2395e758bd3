// When a battery counts as full, and when it only looks so.
#include "core/estimate/stepper.hpp"

#include <gtest/gtest.h>

namespace amphora {
namespace {

class Fullness : public testing::Test {
protected:
    Fullness() : stepper_(battery()) {}
    static Battery battery() {
        Battery b;
        b.chemistry = Chemistry::lfp;
        b.design_capacity = AmpHour(200);
        b.cells_in_series = 4;
        b.full = {Volt(13.9), Ampere(8), Second(180)};
        return b;
    }
    /// True if a step said "full" while these readings came, so many seconds apart.
    bool full_within(int readings, double every, Ampere current, Volt voltage) {
        bool full = false;
        for (int i = 0; i < readings; ++i) {
            at_ = at_ + Second(every);
            const auto step = stepper_.push({at_, current, voltage});
            full = full || (step && step->full);
        }
        return full;
    }
    Stepper stepper_;
    Instant at_ = Instant::from_unix(1'800'000'000);
};

TEST_F(Fullness, IsAVoltageHeldWhileTheCurrentHasFallen) {
    EXPECT_FALSE(full_within(600, 1, Ampere(40), Volt(14.2)));
    EXPECT_FALSE(full_within(170, 1, Ampere(5), Volt(14.2)));
    EXPECT_TRUE(full_within(120, 1, Ampere(5), Volt(14.2)));
}

TEST_F(Fullness, IsNotHeldByAVoltageThatIsNoLongerMeasured) {
    EXPECT_FALSE(full_within(600, 1, Ampere(40), Volt(14.2)));
    EXPECT_FALSE(full_within(7200, 1, Ampere(0), Volt::missing()));
}

TEST_F(Fullness, TakesMoreThanOneReadingHoweverFarApartTheyAre) {
    EXPECT_FALSE(full_within(10, 600, Ampere(40), Volt(13.5)));
    EXPECT_FALSE(full_within(1, 600, Ampere(5), Volt(14.2))) << "what was in the ten minutes before nobody knows";
    EXPECT_TRUE(full_within(1, 600, Ampere(5), Volt(14.2)));
}

}  // namespace
}  // namespace amphora

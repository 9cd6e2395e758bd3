// How long it lasts, in the first minutes of a new system: said only once there is something to say it from.
#include "core/estimate/outlook.hpp"

#include <gtest/gtest.h>

#include "core/pipeline/pipeline.hpp"

namespace amphora {
namespace {

constexpr Uncertain<AmpHour> spare{AmpHour(40), AmpHour(2)};
constexpr Uncertain<AmpHour> missing_charge{AmpHour(60), AmpHour(2)};

Step minute(double ampere) {
    Step step;
    step.length_ms = 60'000;
    (ampere > 0 ? step.charge_in_ah : step.charge_out_ah) = static_cast<float>(std::abs(ampere) / 60.0);
    return step;
}

TEST(Outlook, SaysNothingBeforeTenMinutesWereMeasured) {
    Outlook outlook;
    Instant at = Instant::from_unix(1'800'000'000);
    const auto answer = [&] { return outlook.ahead(at, spare, missing_charge, Ampere(0)); };
    EXPECT_FALSE(answer().to_empty.is_known());
    for (int i = 0; i < 9; ++i) outlook.learn(minute(-4), at = at + Second(60));
    EXPECT_FALSE(answer().to_empty.is_known());
    EXPECT_FALSE(answer().to_full.is_known());
    for (int i = 0; i < 2; ++i) outlook.learn(minute(-4), at = at + Second(60));
    EXPECT_NEAR(to_hours(answer().to_empty.likely).value(), 10.0, 0.1);
    EXPECT_TRUE(std::isinf(answer().to_full.likely.value())) << "never is an answer";
}

// A lithium battery somewhere on its plateau: the voltage hardly tells where, so nobody knows how long it lasts.
TEST(Pipeline, ForetellsNothingOfAChargeThatMayBeAnything) {
    System system;
    system.battery.chemistry = Chemistry::lfp;
    system.battery.design_capacity = AmpHour(200);
    system.battery.cells_in_series = 4;
    Pipeline pipeline(system);
    Instant at = Instant::from_unix(1'800'000'000);
    for (int i = 0; i < 1200; ++i) (void)pipeline.push({at = at + Second(1), Ampere(-4), Volt::missing()});
    const Estimate e = pipeline.now();
    ASSERT_GE(e.state_of_charge.sd * band90, hardly_known);
    EXPECT_FALSE(e.to_empty.is_known());
    EXPECT_FALSE(e.to_full.is_known());
}

}  // namespace
}  // namespace amphora

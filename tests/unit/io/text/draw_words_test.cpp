// A draw test in words: what else is to be off, and no more of the figure than is known.
#include "io/text/draw_words.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace amphora::text {
namespace {

using testing::HasSubstr;
using testing::Not;

TEST(DrawWords, NameWhatElseIsToBeOff) {
    Equipment equipment;
    for (const char* name : {"roof fan", "refrigerator", "diesel heater"}) {
        equipment.appliances.emplace_back();
        equipment.appliances.back().name = name;
    }
    equipment.chargers.emplace_back();
    equipment.chargers.back().name = "roof panels";
    EXPECT_THAT(todo_words(DrawStep::off_before, "roof fan", equipment),
                HasSubstr("roof fan, refrigerator, diesel heater, the charger roof panels and whatever else"));
    EXPECT_THAT(todo_words(DrawStep::on, "roof fan", equipment), Not(HasSubstr("refrigerator")));
}

TEST(DrawWords, BelowTheResolutionOnlyAnUpperBoundIsTold) {
    DrawResult r;
    r.draw = {Ampere(-0.0123), Ampere(0.01)};
    r.below_resolution = true;
    r.at_most = Ampere(0.0164);
    const auto words = result_words(r, "clock", false);
    EXPECT_THAT(words, HasSubstr("clock: at most 0.017 A."));
    EXPECT_THAT(words, Not(HasSubstr("-0.")));
}

TEST(DrawWords, TheFigureIsRoundedToWhatIsKnown) {
    DrawResult r;
    r.draw = {Ampere(4.1234), Ampere(0.03 / band90)};
    r.power = {Watt(52.78), Watt(0.4 / band90)};
    r.voltage = Volt(12.8);
    EXPECT_THAT(result_words(r, "roof fan", true),
                HasSubstr("roof fan: 4.12 A ± 0.03, that is 52.8 W ± 0.4 at 12.8 V"));
    EXPECT_THAT(result_words(r, "roof fan", true), HasSubstr("inverter's loss included"));
}

}  // namespace
}  // namespace amphora::text

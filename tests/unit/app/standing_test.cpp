// How it stands, in words: nothing is foretold from nothing, nor before now.
#include "app/standing.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <limits>

namespace amphora::app {
namespace {

using testing::HasSubstr;
using testing::Not;

constexpr double hour = 3600.0;

class Standing : public testing::Test {
protected:
    Standing() {
        e_.at = Instant::from_unix(1'776'721'230);  // Mon 2026-04-20 21:40:30
        e_.state_of_charge = {Fraction(0.5), Fraction(0.03)};
        e_.remaining = {AmpHour(60), AmpHour(5)};
        e_.full_charge_capacity = {AmpHour(200), AmpHour(5)};
        e_.to_empty = {Second(hour), Second(4 * hour), Second(30 * hour)};
        const Second never(std::numeric_limits<double>::infinity());
        e_.to_full = {never, never, never};
    }
    [[nodiscard]] std::string said(Second age = Second(0)) const {
        std::string all;
        for (const auto& line : standing(e_, system_, age)) all += line + "\n";
        return all;
    }
    Estimate e_;
    System system_;
};

TEST_F(Standing, NamesBothDaysWhereTheSpanCrossesMidnight) {
    EXPECT_THAT(said(), HasSubstr("empty on Tue 01:40 (between Mon 22:40 and Wed 03:40)"));
    e_.to_empty = {Second(0.5 * hour), Second(hour), Second(2 * hour)};
    EXPECT_THAT(said(), HasSubstr("empty on Mon 22:40 (between 22:10 and 23:40)"));
}

TEST_F(Standing, ForetellsNoMomentBeforeNow) {
    e_.to_empty = {Second(100), Second(200), Second(2 * hour)};
    EXPECT_THAT(said(Second(150)), HasSubstr("empty on Mon 21:43 (between now and 23:40)"));
    EXPECT_THAT(said(Second(300)), HasSubstr("empty now (between now and 23:40)"));
    EXPECT_THAT(said(Second(2 * hour)), HasSubstr("not known now: the newest reading is 2.0 h old"));
}

TEST_F(Standing, SaysWhatIsNotKnownYet) {
    e_.to_empty = e_.to_full = {};
    EXPECT_THAT(said(), HasSubstr("how long it lasts is not known yet: too little has been measured"));
    e_.state_of_charge.sd = Fraction(0.3);
    EXPECT_THAT(said(), HasSubstr("where it stands"));
    EXPECT_THAT(said(), HasSubstr("not known yet how much above the reserve"));
    EXPECT_THAT(said(), Not(HasSubstr("60 Ah"))) << "no figure from nothing";
}

}  // namespace
}  // namespace amphora::app

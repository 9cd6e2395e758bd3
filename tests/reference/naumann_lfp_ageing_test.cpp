// Naumann et al., J. Energy Storage 17 (2018) 153 (calendar) and J. Power Sources 451 (2020) 227666 (cycles): figures
// computed from the published parameters, which were read in a transcription.
#include <gtest/gtest.h>

#include <array>

#include "core/health/wear.hpp"

namespace amphora {
namespace {

TEST(NaumannLfp, OneYearOfCalendar) {
    struct Row {
        double celsius, charge, years, loss_percent;
    };
    for (const Row& r :
         {Row{25, .5, 1, 4.253032}, Row{25, 1, 1, 6.775456}, Row{25, .2, 1, 3.708188}, Row{40, .5, 1, 5.921290},
          Row{40, 1, 1, 9.433138}, Row{0, .5, 1, 2.259917}, Row{25, .5, 10, 13.449268}}) {
        EXPECT_NEAR(
            lfp_calendar_loss(Hour(r.years * 365.25 * 24.0), Celsius(r.celsius), Fraction(r.charge)).value() * 100.0,
            r.loss_percent, 1e-5);
    }
}

TEST(NaumannLfp, Cycles) {
    struct Row {
        double rate, depth, cycles, loss_percent;
    };
    for (const Row& r : {Row{.5, .8, 1000, 4.573002}, Row{.2, .5, 1000, 3.775245}, Row{1, 1, 1000, 6.834380},
                         Row{1, .8, 3000, 9.860804}}) {
        EXPECT_NEAR(lfp_cycle_loss(r.cycles, Fraction(r.depth), CRate(r.rate)).value() * 100.0, r.loss_percent, 1e-5);
    }
}

}  // namespace
}  // namespace amphora

// ASTM B258 (American wire gauge): diameters by formula; resistance by NBS Handbook 100 (10.371 ohm for a mil-foot at
// 20 C). Printed circular mils and ohms per 1000 ft are from "Lessons In Electric Circuits" and a public note.
#include <gtest/gtest.h>

#include "core/design/conductor.hpp"

namespace amphora::design {
namespace {

constexpr double mm2_per_circular_mil = 5.067075e-4;
constexpr double kilofeet_per_kilometre = 3.280839895;

struct Row {
    const char* label;
    double circular_mils, ohm_per_kilofoot;
};

TEST(AstmB258, PrintedTable) {
    for (const Row& r : {Row{"4/0", 211600, 0.04901}, Row{"3/0", 167800, 0.06180}, Row{"2/0", 133100, 0.07793},
                         Row{"1/0", 105500, 0.09827}, Row{"1", 83690, 0.1239}, Row{"6", 26250, 0.39507},
                         Row{"10", 10380, 0.99886}, Row{"14", 4107, 2.52542}, Row{"18", 1624, 6.38501}}) {
        const auto size = gauge_size(r.label);
        ASSERT_TRUE(size) << r.label;
        EXPECT_NEAR(size->area.value() / mm2_per_circular_mil / r.circular_mils, 1.0, 0.001) << r.label;
        EXPECT_NEAR(size->resistance_20.value() / kilofeet_per_kilometre / r.ohm_per_kilofoot, 1.0, 0.001) << r.label;
    }
}

TEST(AstmB258, NecAtSeventyFive) {
    // NEC chapter 9 table 8, solid 14 AWG at 75 C: 3.07 ohm per 1000 ft (from memory, sure).
    EXPECT_NEAR(gauge_size("14")->resistance_20.value() * warmer(Celsius(75)) / kilofeet_per_kilometre, 3.07, 0.005);
}

}  // namespace
}  // namespace amphora::design

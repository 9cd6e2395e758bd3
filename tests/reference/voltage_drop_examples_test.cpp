// Printed voltage-drop examples: a bilge pump in two marine wiring guides (form of ABYC E-11), a chart of the same
// form, and one of the ISO 10133 form.
#include <gtest/gtest.h>

#include "core/design/drop.hpp"

namespace amphora::design {
namespace {

constexpr double metres_per_foot = 0.3048;
constexpr double square_mm_per_circular_mil = 5.067075e-4;

TEST(VoltageDropExamples, BilgePump) {
    const Metre loop(21.0 * metres_per_foot);  // 11 ft + 10 ft
    EXPECT_NEAR(circular_mils(Ampere(10), loop, Volt(0.36)), 6270.83, 0.1);
    EXPECT_NEAR(circular_mils(Ampere(10), loop, Volt(1.2)), 1881.25, 0.1);
}

/// 12 V, 3 %: thinnest gauge with the circular mils, where computation and printed chart agree.
TEST(VoltageDropExamples, ThreePercentChart) {
    struct Row {
        double amperes, feet;
        const char* gauge;
    };
    for (const Row& r : {Row{5, 10, "18"}, Row{10, 10, "14"}, Row{20, 10, "12"}, Row{30, 10, "10"}, Row{50, 10, "8"},
                         Row{100, 10, "4"}, Row{20, 20, "8"}, Row{15, 20, "10"}, Row{40, 20, "6"}, Row{100, 20, "2"}}) {
        const double need = circular_mils(Ampere(r.amperes), Metre(r.feet * metres_per_foot), Volt(0.36));
        std::string_view chosen;
        for (const ConductorSize& size : sizes(SizeSeries::american)) {
            if (size.area.value() / square_mm_per_circular_mil < need) continue;
            chosen = size.label;
            break;
        }
        EXPECT_EQ(chosen, r.gauge) << r.amperes << " A over " << r.feet << " ft";
    }
}

TEST(VoltageDropExamples, IsoForm) {
    EXPECT_NEAR(iso_drop(Ampere(1.6), Metre(22), SquareMillimetre(1.5)).value(), 0.3849, 1e-4);
}

/// Computed from IEC 60228: 30 A over 5 m of 16 mm2, cold copper, just fails 3 % of 12 V.
TEST(VoltageDropExamples, JustFailsThreePercent) {
    const Ohm r = resistance(*metric_size(SquareMillimetre(16)), Metre(10), Celsius(20));
    EXPECT_NEAR((r * Ampere(30)).value(), 0.363, 1e-9);
}

}  // namespace
}  // namespace amphora::design

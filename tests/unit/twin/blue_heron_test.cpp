#include "twin/blue_heron.hpp"

#include <gtest/gtest.h>

#include <algorithm>

namespace amphora::twin {
namespace {

// 2024-05-01T00:00:00Z
constexpr Instant may{1'714'521'600'000'000};

TEST(BlueHeron, TwoYearsOfBelievableLife) {
    Van van(blue_heron(1, may, Second(60)));
    double in = 0, out = 0, lowest_volt = 99, highest_volt = 0;
    int days_full = 0;
    constexpr int days = 730;
    for (int day = 0; day < days; ++day) {
        bool full = false;
        for (int k = 0; k < 1440; ++k) {
            van.step();
            const auto& t = van.truth();
            (t.current > Ampere(0) ? in : out) += std::abs((t.current * Second(60)).value());
            lowest_volt = std::min(lowest_volt, t.voltage.value());
            highest_volt = std::max(highest_volt, t.voltage.value());
            full = full || t.state_of_charge > Fraction(0.99);
        }
        days_full += full;
    }
    EXPECT_GT(out / days, 30) << "Ah a day";
    EXPECT_LT(out / days, 70) << "Ah a day";
    EXPECT_NEAR(in / out, 1, 0.03);
    EXPECT_GT(days_full, 150);
    EXPECT_LT(days_full, 500);
    EXPECT_GT(lowest_volt, 10.5);
    EXPECT_LT(highest_volt, 14.8);
}

TEST(BlueHeron, EveryApplianceHasItsName) {
    const auto spec = blue_heron(1, may);
    std::vector<std::string> names;
    names.reserve(spec.household.appliances.size());
    for (const auto& a : spec.household.appliances) names.push_back(a.name);
    std::sort(names.begin(), names.end());
    EXPECT_GE(names.size(), 10U);
    EXPECT_EQ(std::adjacent_find(names.begin(), names.end()), names.end());
    EXPECT_NE(names.front(), "");
}

}  // namespace
}  // namespace amphora::twin

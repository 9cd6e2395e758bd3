#include "core/quantity/exact_sum.hpp"

#include <gtest/gtest.h>

namespace amphora {
namespace {

TEST(ExactSum, KeepsWhatPlainSummingLoses) {
    ExactSum<AmpHour> exact;
    double plain = 0;
    for (const double x : {1.0, 1e100, 1.0, -1e100}) {
        exact += AmpHour(x);
        plain += x;
    }
    EXPECT_EQ(plain, 0);
    EXPECT_EQ(exact.total(), AmpHour(2));
}

// A year of seconds at 5 mA on top of a large total: 43.83 Ah.
TEST(ExactSum, AYearOfMilliamperes) {
    ExactSum<AmpHour> sum;
    sum += AmpHour(1e7);
    const AmpHour step = Ampere(5e-3) * Second(1);
    constexpr int seconds = 31'557'600;
    for (int i = 0; i < seconds; ++i) sum += step;
    EXPECT_NEAR(sum.total().value(), 1e7 + 43.83, 4e-9);
}

}  // namespace
}  // namespace amphora

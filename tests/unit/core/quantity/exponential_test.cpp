#include "core/quantity/exponential.hpp"

#include <gtest/gtest.h>

#include <cmath>

namespace amphora {
namespace {

TEST(Exponential, MatchesTheDefinitionWhereThatIsExact) {
    EXPECT_NEAR(step_response(1), 1 - std::exp(-1), 1e-15);
    EXPECT_NEAR(ramp_response(1), std::exp(-1), 1e-15);
    EXPECT_NEAR(ramp_response(40), 39, 1e-12);
}

// In 80-bit arithmetic the definition itself is good enough to judge the series.
TEST(Exponential, RampKeepsItsDigitsWhereTheDefinitionCancels) {
    for (const double x : {2e-2, 1.1e-2, 9.9e-3, 1e-3, 1e-4}) {
        const auto wide = static_cast<long double>(x);
        const auto exact = static_cast<double>(wide + std::expm1(-wide));
        EXPECT_NEAR(ramp_response(x) / exact, 1, 2e-12) << x;
    }
    EXPECT_NEAR(ramp_response(1e-9) / 5e-19, 1, 1e-9);
    EXPECT_EQ(ramp_response(0), 0);
}

}  // namespace
}  // namespace amphora

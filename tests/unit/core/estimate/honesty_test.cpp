#include "core/estimate/honesty.hpp"

#include <gtest/gtest.h>

namespace amphora {
namespace {

Estimate said(std::int64_t second, double mean, double sd) {
    Estimate e;
    e.at = Instant{second};
    e.state_of_charge = {Fraction(mean), Fraction(sd)};
    return e;
}

Uncertain<Fraction> known(double mean) { return {Fraction(mean), Fraction(0.001)}; }

TEST(Honesty, RmsShareInsideAndWidest) {
    Honesty honesty;
    honesty.add(said(1, 0.50, 0.02), known(0.53));  // 0.03 off, band 0.0329: inside
    honesty.add(said(2, 0.50, 0.02), known(0.46));  // 0.04 off: outside
    honesty.add(said(3, 0.50, 0.10), known(0.50));
    EXPECT_EQ(honesty.moments(), 3U);
    EXPECT_NEAR(honesty.rms().value(), std::sqrt((0.0009 + 0.0016) / 3.0), 1e-12);
    EXPECT_NEAR(honesty.inside_band().value(), 2.0 / 3.0, 1e-12);
    EXPECT_NEAR(honesty.mean_half_band().value(), band90 * 0.14 / 3.0, 1e-12);
    EXPECT_EQ(honesty.widest().at.us, 2);
    EXPECT_NEAR(honesty.widest().error.value(), 0.04, 1e-12);
}

TEST(Honesty, NothingToJudge) {
    Honesty honesty;
    honesty.add(said(1, NAN, 0.02), known(0.5));
    EXPECT_EQ(honesty.moments(), 0U);
    EXPECT_FALSE(honesty.rms().known());
    EXPECT_FALSE(honesty.inside_band().known());
}

}  // namespace
}  // namespace amphora

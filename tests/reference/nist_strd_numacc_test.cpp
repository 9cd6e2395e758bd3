// NIST Statistical Reference Datasets, univariate, NumAcc1 to NumAcc4: certified mean and standard deviation, made to
// break careless summing (read in the tests of two statistics libraries). Tolerances as in common use for these sets.
#include <gtest/gtest.h>

#include <cmath>
#include <vector>

#include "core/quantity/sample.hpp"

namespace amphora {
namespace {

std::vector<Ampere> alternating(double first, double a, double b) {
    std::vector<Ampere> values{Ampere(first)};
    for (int i = 0; i < 500; ++i) values.insert(values.end(), {Ampere(a), Ampere(b)});
    return values;
}

Uncertain<Ampere> statistics(const std::vector<Ampere>& values) {
    return sample_statistics(std::span<const Ampere>(values));
}

TEST(NistStrd, NumAcc1) {
    const auto s = statistics({Ampere(10000001), Ampere(10000003), Ampere(10000002)});
    EXPECT_EQ(s.mean.value(), 10000002);
    EXPECT_EQ(s.sd.value(), 1);
}

TEST(NistStrd, NumAcc2) {
    const auto s = statistics(alternating(1.2, 1.1, 1.3));
    EXPECT_NEAR(s.mean.value(), 1.2, 1e-15);
    EXPECT_NEAR(s.sd.value(), 0.1, 1e-14);
}

TEST(NistStrd, NumAcc3) {
    const auto s = statistics(alternating(1000000.2, 1000000.1, 1000000.3));
    EXPECT_NEAR(s.mean.value(), 1000000.2, 1e-9);
    EXPECT_NEAR(s.sd.value(), 0.1, 1e-9);
}

TEST(NistStrd, NumAcc4) {
    const auto s = statistics(alternating(10000000.2, 10000000.1, 10000000.3));
    EXPECT_NEAR(s.mean.value(), 10000000.2, 1e-8);
    EXPECT_NEAR(s.sd.value(), 0.1, 1e-8);
}

// Why this set: the textbook difference of squares gives a negative variance here.
TEST(NistStrd, NumAcc4BreaksTheTextbookFormula) {
    double sum = 0, squares = 0;
    const auto values = alternating(10000000.2, 10000000.1, 10000000.3);
    for (const Ampere v : values) {
        sum += v.value();
        squares += v.value() * v.value();
    }
    const auto n = static_cast<double>(values.size());
    const double sd = std::sqrt((squares - sum * sum / n) / (n - 1));
    EXPECT_FALSE(std::abs(sd - 0.1) < 1e-3);
}

}  // namespace
}  // namespace amphora

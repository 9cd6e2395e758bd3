// Student's t against printed tables (two-sided 95 % and 90 %; M. Abramowitz, I. Stegun, Handbook of Mathematical
// Functions, table 26.10, from memory), and the worth of correlated readings against the closed form of G. Box and G.
// Jenkins, Time Series Analysis, for a first-order autoregressive series.
#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <random>
#include <vector>

#include "core/meter/correlated_mean.hpp"

namespace amphora {
namespace {

constexpr double z95 = 1.959963984540054;

TEST(StudentQuantile, AsPrinted) {
    struct Row {
        double freedom, of_95, of_90;
    };
    for (const auto& [freedom, of_95, of_90] :
         std::array{Row{4, 2.7764, 2.1318}, Row{9, 2.2622, 1.8331}, Row{10, 2.2281, 1.8125}, Row{30, 2.0423, 1.6973}}) {
        EXPECT_NEAR(student_quantile(z95, DegreesOfFreedom(freedom)), of_95, 0.002);
        EXPECT_NEAR(student_quantile(band90, DegreesOfFreedom(freedom)), of_90, 0.002);
    }
    EXPECT_NEAR(student_quantile(band90, DegreesOfFreedom(2)), 2.9200, 0.03);
    EXPECT_NEAR(student_quantile(z95, DegreesOfFreedom(1e9)), z95, 1e-6);
}

TEST(CorrelatedMean, AutoregressiveSeriesAreWorthWhatTheClosedFormSays) {
    for (const double phi : {0.5, 0.8, 0.95}) {
        constexpr std::size_t n = 20'000;
        std::mt19937 dice(11);
        std::normal_distribution<double> normal;
        std::vector<Ampere> readings;
        double x = 0;
        for (std::size_t i = 0; i < n; ++i) {
            x = phi * x + normal(dice);
            readings.push_back(Ampere(x));
        }
        const double exact = n * (1 - phi) / (1 + phi);
        EXPECT_NEAR(correlated_mean(readings).effective / exact, 1.0, 0.25) << phi;
    }
}

// Two equal errors known with n - 1 each: 2 (n - 1) degrees (Welch 1947 reduces to the pooled test).
TEST(Together, EqualPartsAddTheirFreedom) {
    const std::array parts{MeanError{Ampere(0.3), DegreesOfFreedom(9)}, MeanError{Ampere(0.3), DegreesOfFreedom(9)}};
    const auto sum = together(parts);
    EXPECT_NEAR(sum.error.value(), 0.3 * std::sqrt(2), 1e-12);
    EXPECT_NEAR(sum.freedom.value(), 18, 1e-9);
}

}  // namespace
}  // namespace amphora

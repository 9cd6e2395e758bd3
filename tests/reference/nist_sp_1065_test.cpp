// Allan deviation. Data sets of NIST Special Publication 1065 (W. J. Riley, 2008, pp. 107-108): nine readings after NBS
// Monograph 140, and a thousand from the generator n' = 16807 n mod 2147483647. Read in the tests of a public
// frequency- stability library (aewallin/allantools, nbs14) and recomputed to seven digits.
#include <gtest/gtest.h>

#include <array>
#include <cstdint>
#include <vector>

#include "core/meter/allan_deviation.hpp"
#include "core/quantity/sample.hpp"

namespace amphora {
namespace {

constexpr std::array<Ampere, 9> nine{Ampere(892), Ampere(809), Ampere(823), Ampere(798), Ampere(671),
                                     Ampere(644), Ampere(883), Ampere(903), Ampere(677)};

std::vector<Ampere> thousand() {
    std::vector<Ampere> values;
    std::uint64_t n = 1234567890;
    for (int i = 0; i < 1000; ++i) {
        values.emplace_back(static_cast<double>(n) / 2147483647.0);
        n = 16807 * n % 2147483647;
    }
    return values;
}

double deviation(std::span<const Ampere> readings, std::size_t average, AllanOverlap overlap) {
    return allan_deviation(readings, average, overlap).value();
}

TEST(NistSp1065, NineReadings) {
    const auto s = sample_statistics(std::span<const Ampere>(nine));
    EXPECT_NEAR(s.mean.value(), 788.8889, 1e-4);
    EXPECT_NEAR(s.sd.value(), 100.9770, 1e-4);
    EXPECT_NEAR(deviation(nine, 1, AllanOverlap::none), 91.22945, 1e-5);
    EXPECT_NEAR(deviation(nine, 2, AllanOverlap::none), 115.8082, 1e-4);
    EXPECT_NEAR(deviation(nine, 1, AllanOverlap::full), 91.22945, 1e-5);
    EXPECT_NEAR(deviation(nine, 2, AllanOverlap::full), 85.95287, 1e-5);
}

TEST(NistSp1065, ThousandReadings) {
    const std::vector<Ampere> values = thousand();
    EXPECT_NEAR(values[1].value() * 2147483647.0, 395529916, 0.5);
    const auto s = sample_statistics(std::span<const Ampere>(values));
    EXPECT_NEAR(s.mean.value(), 0.489774463, 1e-9);
    EXPECT_NEAR(s.sd.value(), 0.2884664, 1e-7);
    EXPECT_NEAR(deviation(values, 1, AllanOverlap::none), 2.922319e-1, 1e-7);
    EXPECT_NEAR(deviation(values, 10, AllanOverlap::none), 9.965736e-2, 1e-8);
    EXPECT_NEAR(deviation(values, 100, AllanOverlap::none), 3.897804e-2, 1e-8);
    EXPECT_NEAR(deviation(values, 10, AllanOverlap::full), 9.159953e-2, 1e-8);
    EXPECT_NEAR(deviation(values, 100, AllanOverlap::full), 3.241343e-2, 1e-8);
}

TEST(NistSp1065, TooFewReadingsHaveNone) {
    EXPECT_FALSE(allan_deviation(std::span<const Ampere>(nine), 5, AllanOverlap::full).known());
    EXPECT_FALSE(allan_deviation(std::span<const Ampere>(nine), 0, AllanOverlap::full).known());
}

}  // namespace
}  // namespace amphora

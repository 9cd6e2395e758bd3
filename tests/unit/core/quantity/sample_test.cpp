#include "core/quantity/sample.hpp"

#include <gtest/gtest.h>

#include <array>

namespace amphora {
namespace {

TEST(Sample, SaysWhenThereIsTooLittle) {
    const std::array<Volt, 1> one{Volt(12.5)};
    EXPECT_EQ(sample_statistics(std::span<const Volt>(one)).mean, Volt(12.5));
    EXPECT_FALSE(sample_statistics(std::span<const Volt>(one)).sd.known());
    EXPECT_FALSE(sample_mean(std::span<const Volt>{}).known());
}

}  // namespace
}  // namespace amphora

#include "io/text/size.hpp"

#include <gtest/gtest.h>

namespace amphora::text {
namespace {

TEST(Size, IsInTheUnitThatSuitsIt) {
    EXPECT_EQ(size_of(1), "1 byte");
    EXPECT_EQ(size_of(999), "999 bytes");
    EXPECT_EQ(size_of(36'864), "37 kB");
    EXPECT_EQ(size_of(4'096), "4.1 kB");
    EXPECT_EQ(size_of(999'900), "1.0 MB");
    EXPECT_EQ(size_of(29'400'000), "29 MB");
    EXPECT_EQ(size_of(1'400'000'000), "1.4 GB");
}

}  // namespace
}  // namespace amphora::text

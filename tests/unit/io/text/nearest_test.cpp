#include "io/text/nearest.hpp"

#include <gtest/gtest.h>

#include <array>

namespace amphora::text {
namespace {

TEST(EditDistance, CountsSingleEdits) {
    EXPECT_EQ(edit_distance("", ""), 0U);
    EXPECT_EQ(edit_distance("", "abc"), 3U);
    EXPECT_EQ(edit_distance("kitten", "sitting"), 3U);
    EXPECT_EQ(edit_distance("check", "chekc"), 1U) << "a swap of neighbours is one slip";
    EXPECT_EQ(edit_distance("LFP", "lfp"), 0U);
}

constexpr std::array<std::string_view, 4> words = {"reserve", "chemistry", "rated_over_h", "ocv"};

TEST(Nearest, FindsTheSlip) {
    EXPECT_EQ(nearest("chemestry", words), "chemistry");
    EXPECT_EQ(nearest("rated_over", words), "rated_over_h");
    EXPECT_EQ(nearest("ovc", words), "ocv");
}

TEST(Nearest, FindsTheWordThatHoldsIt) { EXPECT_EQ(nearest("over", words), "rated_over_h"); }

TEST(Nearest, FindsTheAbbreviation) {
    constexpr std::array<std::string_view, 3> chemistries = {"lfp", "agm", "lto"};
    EXPECT_EQ(nearest("lifepo", chemistries), "lfp");
    EXPECT_EQ(nearest("LiFePO4", chemistries), "lfp");
    EXPECT_EQ(nearest("absorbed glass mat", chemistries), "agm");
    EXPECT_EQ(nearest("lithium titanium oxide", chemistries), "lto");
    EXPECT_EQ(nearest("alkaline", chemistries), std::nullopt);
}

TEST(Nearest, SaysNothingWhenNothingIsNear) {
    EXPECT_EQ(nearest("colour", words), std::nullopt);
    EXPECT_EQ(nearest("", words), std::nullopt);
    EXPECT_EQ(nearest(std::string(100'000, 'x'), words), std::nullopt);
}

}  // namespace
}  // namespace amphora::text

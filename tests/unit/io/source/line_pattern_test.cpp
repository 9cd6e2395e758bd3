#include "io/source/line_pattern.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <map>

namespace amphora::source {
namespace {

using Found = std::map<std::string, double>;

std::optional<Found> matched(std::string_view pattern, std::string_view line) {
    const auto p = LinePattern::from(pattern);
    EXPECT_TRUE(p) << (p ? "" : p.error());
    if (!p) return std::nullopt;
    Found found;
    const bool is = p->match(line, [&](std::size_t i, double v) { found[p->fields()[i]] = v; });
    return is ? std::optional(found) : std::nullopt;
}

TEST(LinePattern, ReadsNumbersBetweenText) {
    EXPECT_EQ(matched("V={v} I={i}", "V=13.25 I=-4.5"), (Found{{"v", 13.25}, {"i", -4.5}}));
    EXPECT_EQ(matched("V={v} I={i}", "V= 13.25    I=-4.5 A and more"), (Found{{"v", 13.25}, {"i", -4.5}}));
    EXPECT_EQ(matched("{a},{b},{c}", "1,2e1,-.5"), (Found{{"a", 1}, {"b", 20}, {"c", -0.5}}));
}

TEST(LinePattern, AStarStandsForAnything) {
    EXPECT_EQ(matched("*I={i}", "$BAT,12,I=3"), (Found{{"i", 3}}));
    EXPECT_EQ(matched("{a} * {b} end", "1 x 2 y 3 end"), (Found{{"a", 1}, {"b", 3}}));
}

TEST(LinePattern, RefusesWhatIsOtherwise) {
    EXPECT_EQ(matched("V={v}", "U=13"), std::nullopt);
    EXPECT_EQ(matched("V={v}", "V=none"), std::nullopt);
    EXPECT_EQ(matched("V={v} I={i}", "V=13"), std::nullopt);
    EXPECT_EQ(matched("V={v}", ""), std::nullopt);
}

TEST(LinePattern, SaysWhatIsWrongWithIt) {
    EXPECT_THAT(LinePattern::from("V={v").error(), testing::HasSubstr("not closed"));
    EXPECT_THAT(LinePattern::from("V={}").error(), testing::HasSubstr("no name"));
    EXPECT_THAT(LinePattern::from("V=1").error(), testing::HasSubstr("no field"));
    EXPECT_THAT(LinePattern::from("{a} {a}").error(), testing::HasSubstr("twice"));
}

}  // namespace
}  // namespace amphora::source

// Rainflow counting, ASTM E1049-85 section 5.4.4, figure 6. Read in several independent test suites, all agreeing; the
// split into half and full swings with their means in the documentation of one (qats). Exact.
#include <gtest/gtest.h>

#include <map>
#include <vector>

#include "core/health/rainflow.hpp"

namespace amphora {
namespace {

using Swings = std::vector<Swing<Volt>>;

Swings count(const std::vector<double>& values) {
    Swings all;
    Rainflow<Volt> rainflow;
    const auto keep = [&](const Swing<Volt>& s) { all.push_back(s); };
    for (const double v : values) rainflow.push(Volt(v), keep);
    rainflow.report_open(keep);
    return all;
}

std::map<double, double> by_range(const Swings& swings) {
    std::map<double, double> counts;
    for (const auto& s : swings) counts[s.range.value()] += s.count;
    return counts;
}

TEST(AstmE1049, FigureSix) {
    const Swings swings = count({-2, 1, -3, 5, -1, 3, -4, 4, -2});
    const std::map<double, double> expected{{3, 0.5}, {4, 1.5}, {6, 0.5}, {8, 1.0}, {9, 0.5}};
    EXPECT_EQ(by_range(swings), expected);

    std::multimap<double, std::pair<double, double>> detail;
    for (const auto& s : swings) detail.emplace(s.range.value(), std::pair(s.mean.value(), s.count));
    const std::multimap<double, std::pair<double, double>> expected_detail{
        {3, {-0.5, 0.5}}, {4, {-1.0, 0.5}}, {4, {1.0, 1.0}}, {6, {1.0, 0.5}},
        {8, {1.0, 0.5}},  {8, {0.0, 0.5}},  {9, {0.5, 0.5}}};
    EXPECT_EQ(detail, expected_detail);
}

// A small case read in the tests of a public library, which counts a swing once per closed range.
TEST(AstmE1049, SmallCase) {
    const std::map<double, double> expected{{1, 1.0}, {3, 1.0}};
    EXPECT_EQ(by_range(count({0, 2, 1, 3, 0})), expected);
}

}  // namespace
}  // namespace amphora

// The distribution of daily clearness: Bendt, Collares-Pereira and Rabl 1981 with Huget's constants, as in Duffie and
// Beckman, equations 2.9.4 to 2.9.6. The figures were computed from the published formulas.
#include <gtest/gtest.h>

#include <array>

#include "core/sun/clearness.hpp"

namespace amphora::sun {
namespace {

struct ClearnessRow {
    double monthly, highest, shape, mean, median, tenth;
};
constexpr std::array<ClearnessRow, 5> rows{{
    {.3, .691390, -2.100403, .300777, .269985, .086604},
    {.4, .735420, .182100, .399838, .403397, .122523},
    {.5, .764618, 2.314229, .501579, .540750, .202336},
    {.6, .791497, 4.574783, .598716, .647214, .345982},
    {.7, .818200, 8.516855, .701894, .736984, .549356},
}};

TEST(DailyClearness, ByMonthlyMean) {
    for (const ClearnessRow& r : rows) {
        const DailyClearness c(r.monthly);
        EXPECT_NEAR(c.highest(), r.highest, 1e-6);
        EXPECT_NEAR(c.shape(), r.shape, 1e-6);
        EXPECT_NEAR(c.mean(), r.mean, 1e-6);
        EXPECT_NEAR(c.quantile(0.5), r.median, 1e-6);
        EXPECT_NEAR(c.quantile(0.1), r.tenth, 1e-6);
        EXPECT_NEAR(c.mean(), r.monthly, 0.002) << "the law's own mean is the month's";
    }
}

TEST(DailyClearness, QuantileInvertsTheShare) {
    for (const ClearnessRow& r : rows) {
        const DailyClearness c(r.monthly);
        for (const double u : {0.01, 0.25, 0.5, 0.9, 0.999}) EXPECT_NEAR(c.share_below(c.quantile(u)), u, 1e-12);
    }
}

}  // namespace
}  // namespace amphora::sun

// The distribution of daily clearness: Bendt, Collares-Pereira and Rabl 1981 with Huget's constants, as in Duffie and
// Beckman, equations 2.9.4 to 2.9.6. The figures were computed from the published formulas.
#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <filesystem>
#include <numeric>
#include <vector>

#include "core/design/day_chance.hpp"
#include "core/sun/clearness.hpp"
#include "io/weather/weather_file.hpp"

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

/// Normal deviate below which a share lies.
double deviate(double share) {
    double low = -5.0;
    double high = 5.0;
    for (int i = 0; i < 50; ++i) {
        const double middle = (low + high) / 2.0;
        (normal_share_below(middle) < share ? low : high) = middle;
    }
    return low;
}

/// Correlation of a series with itself one step on.
double with_next(const std::vector<double>& x) {
    const auto n = static_cast<double>(x.size() - 1);
    const double first = std::accumulate(x.begin(), x.end() - 1, 0.0) / n;
    const double second = std::accumulate(x.begin() + 1, x.end(), 0.0) / n;
    double xy = 0.0;
    double xx = 0.0;
    double yy = 0.0;
    for (std::size_t i = 0; i + 1 < x.size(); ++i) {
        xy += (x[i] - first) * (x[i + 1] - second);
        xx += (x[i] - first) * (x[i] - first);
        yy += (x[i + 1] - second) * (x[i + 1] - second);
    }
    return xy / std::sqrt(xx * yy);
}

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

/// A place's own year against the figures that are used where only means are known (Graham, Hollands and Unny 1988; the
/// warmth's memory): typical year at 45 N 8 E, PVGIS (c) European Union, 2001-2025. Correlation of one day with the
/// next inside a month, the clearness on the Gaussian scale by its rank; its standard error from 353 pairs is 0.05.
TEST(DailyClearness, RemembersAsAMeasuredYearDoes) {
    const std::filesystem::path file =
        std::filesystem::path(AMPHORA_SOURCE_DIR) / "../shared/data/solar/tmy-45N-8E.csv";
    if (!std::filesystem::exists(file)) GTEST_SKIP() << file << " is not here";
    const auto climate = weather::read_weather_file(file);
    ASSERT_TRUE(climate) << climate.error().message;
    double sky = 0.0;
    double warmth = 0.0;
    for (const auto& days : climate->days) {
        std::vector<double> clear;
        std::vector<double> warm;
        for (const WeatherDay& d : days) {
            const auto rank =
                std::ranges::count_if(days, [&](const WeatherDay& other) { return other.clearness < d.clearness; });
            clear.push_back(deviate((static_cast<double>(rank) + 0.5) / static_cast<double>(days.size())));
            warm.push_back(d.warmer);
        }
        sky += with_next(clear) / 12.0;
        warmth += with_next(warm) / 12.0;
    }
    EXPECT_NEAR(sky, usual_day_to_day, 0.10);
    EXPECT_NEAR(warmth, static_cast<double>(design::Chances{}.warmth_memory), 0.10);
}

}  // namespace
}  // namespace amphora::sun

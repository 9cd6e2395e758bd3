#include "io/document/plot/time_buckets.hpp"

#include <gtest/gtest.h>

#include "io/document/plot/log_trace.hpp"

namespace amphora::plot {
namespace {

struct Count {
    int readings = 0;
    void merge(const Count& other) { readings += other.readings; }
};

int all(const TimeBuckets<Count>& buckets) {
    int sum = 0;
    for (const auto& bucket : buckets.used()) sum += bucket.readings;
    return sum;
}

TEST(TimeBuckets, NothingIsLostHoweverLongTheLog) {
    TimeBuckets<Count> buckets;
    int added = 0;
    for (std::int64_t us = 0; us < std::int64_t{400} * 86'400 * 1'000'000; us += 977'000'000, ++added)
        ++buckets.at(Instant{us}).readings;
    EXPECT_EQ(all(buckets), added);
    EXPECT_GT(buckets.used().size(), TimeBuckets<Count>::most / 2);
    EXPECT_LE(buckets.used().size(), TimeBuckets<Count>::most);
}

TEST(TimeBuckets, AMomentIsInsideItsBucket) {
    TimeBuckets<Count> buckets;
    const Instant start{1'777'593'600'000'000};
    ++buckets.at(start).readings;
    for (int i = 1; i < 100; ++i) {
        const auto moment = start + Second(3600.0 * i * i);
        ++buckets.at(moment).readings;
        const auto last = buckets.used().size() - 1;
        EXPECT_EQ(buckets.used()[last].readings > 0, true);
        EXPECT_LE(std::abs((buckets.middle(last) - moment).value()), buckets.width().value() / 2 + 1e-5);
    }
}

TEST(TimeBuckets, MomentsBeforeTheFirstCountAsTheFirst) {
    TimeBuckets<Count> buckets;
    ++buckets.at(Instant{1'000'000'000}).readings;
    ++buckets.at(Instant{0}).readings;
    EXPECT_EQ(buckets.used().size(), 1U);
    EXPECT_EQ(buckets.used()[0].readings, 2);
}

TEST(TimeBuckets, ALeapToTheEndOfTheCalendar) {
    TimeBuckets<Count> buckets;
    ++buckets.at(Instant{0}).readings;
    ++buckets.at(Instant{std::int64_t{253'402'300'800} * 1'000'000}).readings;
    EXPECT_EQ(all(buckets), 2);
}

TEST(Spread, ExtentAndAverageWithoutWhatIsMissing) {
    Spread spread;
    EXPECT_FALSE(spread.extent.known());
    EXPECT_FALSE(spread.average().known());
    for (const double value : {1.0, -3.0, 8.0}) spread.add(value);
    spread.add(std::nan(""));
    EXPECT_EQ(spread.extent.low, -3.0F);
    EXPECT_EQ(spread.extent.high, 8.0F);
    EXPECT_EQ(spread.average().low, 2.0F);
}

TEST(LogTrace, FullIsMarkedOnceEachTime) {
    LogTrace trace;
    Estimate said;
    for (int minute = 0; minute < 300; ++minute) {
        said.at = Instant{std::int64_t{minute} * 60'000'000};
        if (minute % 100 == 0) said.evidence = {Evidence::full, said.at, AmpHour(0), AmpHour(0)};
        trace.add(said, std::nullopt);
    }
    const auto buckets = trace.charge().used();
    EXPECT_EQ(std::ranges::count_if(buckets, [](const auto& bucket) { return bucket.full_seen; }), 3);
}

TEST(LogTrace, BandsEndAtEmptyAndFull) {
    LogTrace trace;
    Estimate said;
    said.state_of_charge = {Fraction(0.5), Fraction(0.4)};
    trace.add(said, Uncertain<Fraction>{Fraction(0.4), Fraction(0.1)});
    const auto& bucket = trace.charge().used()[0];
    EXPECT_EQ(bucket.said.band.low, 0.0F);
    EXPECT_EQ(bucket.said.band.high, 1.0F);
    EXPECT_NEAR(bucket.known_now.band.high, 0.4 + band90 * 0.1, 1e-6);
}

}  // namespace
}  // namespace amphora::plot

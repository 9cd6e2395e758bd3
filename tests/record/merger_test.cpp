#include "io/record/merger.hpp"

#include "record_fixture.hpp"

namespace amphora::record {
namespace {

class MergerTest : public RecordTest {
protected:
    MergeCount merge(const std::vector<Reading>& log) {
        auto merger = must(Merger::open(file_, LocalDays::utc()));
        must(merger.add(log));
        must(merger.finish());
        return merger.count();
    }
    void expect_rollups_of(const std::vector<Reading>& log) {
        ledger::MinuteRollups direct;
        for (const auto& r : log) direct.push(r);
        const Reader reader = must(Reader::open(file_));
        EXPECT_TRUE(must(reader.rollups(ledger::minute_us, {INT64_MIN, INT64_MAX})) == direct.minutes());
        EXPECT_TRUE(must(reader.rollups(ledger::day_us, {INT64_MIN, INT64_MAX})) ==
                    ledger::roll_up(direct.minutes(), ledger::day_us));
    }
};

TEST_F(MergerTest, TheSameLogTwiceAddsNothing) {
    const auto log = steady_log(80'000);
    EXPECT_EQ(merge(log).added, log.size());
    const MergeCount again = merge(log);
    EXPECT_EQ(again.added, 0U);
    EXPECT_EQ(again.known, log.size());
    EXPECT_TRUE(same_log(readings(), log));
    expect_rollups_of(log);
}

TEST_F(MergerTest, OverlappingLogsInAnyOrderMakeTheWholeLog) {
    const auto log = steady_log(90'000);
    const auto part = [&](std::size_t from, std::size_t to) {
        return std::vector<Reading>(log.begin() + static_cast<std::ptrdiff_t>(from),
                                    log.begin() + static_cast<std::ptrdiff_t>(to));
    };
    merge(part(60'000, 90'000));
    merge(part(0, 20'000));
    const MergeCount middle = merge(part(15'000, 65'000));
    EXPECT_EQ(middle.known, 10'000U);
    EXPECT_EQ(middle.added, 40'000U);
    EXPECT_TRUE(same_log(readings(), log));
    expect_rollups_of(log);
}

TEST_F(MergerTest, EverySecondReadingFillsIn) {
    const auto log = steady_log(50'000);
    std::vector<Reading> even;
    std::vector<Reading> odd;
    for (std::size_t i = 0; i < log.size(); ++i) (i % 2 == 0 ? even : odd).push_back(log[i]);
    merge(even);
    merge(odd);
    EXPECT_TRUE(same_log(readings(), log));
    expect_rollups_of(log);
}

TEST_F(MergerTest, UnsortedAndRepeatedReadingsCountOnce) {
    auto log = steady_log(5000);
    auto shuffled = log;
    shuffled.insert(shuffled.end(), log.begin(), log.begin() + 100);
    std::ranges::shuffle(shuffled, std::mt19937(1));
    EXPECT_EQ(merge(shuffled).added, 5000U);
    EXPECT_TRUE(same_log(readings(), log));
}

TEST_F(MergerTest, AnotherValueAtTheSameTimeIsKeptAndCounted) {
    auto log = steady_log(100);
    merge(log);
    auto other = std::vector<Reading>{log[50]};
    other[0].current = Ampere(99.0);
    EXPECT_EQ(merge(other).clashes, 1U);
    EXPECT_EQ(readings().size(), 101U);
    const MergeCount again = merge(other);
    EXPECT_EQ(again.added, 0U);
    EXPECT_EQ(again.clashes, 0U) << "only what is added can clash";
    auto both = std::vector<Reading>{log[99], log[99]};
    both[0].at.us = both[1].at.us += 1000 * second_us;
    both[1].voltage = Volt(1.0);
    EXPECT_EQ(merge(both).clashes, 1U) << "within one log";
}

TEST_F(MergerTest, ALogOfWhatWasRecordedAddsNothingAndFillsHoles) {
    const auto log = steady_log(40'000);
    {
        Writer w = writer();
        must(w.begin_boot("boot", 0, true));
        for (std::size_t i = 0; i < log.size(); ++i)
            if (i < 10'000 || i >= 12'000) must(w.append(log[i]));
    }
    EXPECT_EQ(merge(log).added, 2'000U);
    EXPECT_TRUE(same_log(readings(), log));
    expect_rollups_of(log);
    EXPECT_EQ(merge(log).added, 0U);
}

TEST_F(MergerTest, ARecorderMayGoOnMeanwhile) {
    const auto log = steady_log(10'000);
    const auto old = steady_log(10'000, new_year_us - 86400 * second_us, 5);
    {
        Writer w = writer();
        for (std::size_t i = 0; i < 5000; ++i) must(w.append(log[i]));
        merge(old);
        for (std::size_t i = 5000; i < log.size(); ++i) must(w.append(log[i]));
    }
    auto expected = old;
    expected.insert(expected.end(), log.begin(), log.end());
    EXPECT_TRUE(same_log(readings(), expected));
    expect_rollups_of(expected);
}

}  // namespace
}  // namespace amphora::record

// The zone changes: its days are there at once, are stored bit by bit, and are those that a record of that zone has.
#include "io/record/block_table.hpp"
#include "io/record/day_rollups.hpp"
#include "io/record/record_file.hpp"
#include "io/record/rollup_store.hpp"
#include "io/record/upkeep.hpp"
#include "record_fixture.hpp"

namespace amphora::record {
namespace {

using Days = std::vector<ledger::Rollup>;
constexpr Span all{INT64_MIN, INT64_MAX};

/// Months with a reading each 20 minutes, and a hole in it.
std::vector<Reading> long_log() {
    auto log = steady_log(15'000);
    for (std::size_t i = 0; i < log.size(); ++i)
        log[i].at.us = new_year_us + static_cast<std::int64_t>(i + (i > 9000 ? 700 : 0)) * 1200 * second_us;
    return log;
}

class ZoneTest : public RecordTest {
protected:
    static LocalDays zone(const std::string& name) { return LocalDays::in_zone(name).value(); }
    void record_in(const std::string& name, const std::vector<Reading>& log) {
        Writer w = writer({Second(900), zone(name), {}});
        for (const Reading& r : log) must(w.append(r));
        must(w.close());
    }
    Days days(Span span = all) { return must(must(Reader::open(file_)).rollups(ledger::day_us, span)); }
    Days days_from_the_readings(const std::string& name) {
        ledger::MinuteRollups minutes;
        for (const Reading& r : readings()) minutes.push(r);
        return zone(name).roll_up(minutes.take());
    }
    bool some_missing() { return days_stored_from(open_to_read(file_)) != INT64_MIN; }
};

// Whole hours, three quarters of one, half an hour of summer time, an hour of it (tz database).
TEST_F(ZoneTest, EveryZoneIsRightAtOnceAndAtEveryStep) {
    record_in("Europe/Berlin", long_log());
    for (const char* name : {"UTC", "Asia/Kathmandu", "Australia/Lord_Howe", "America/New_York"}) {
        const Days expected = days_from_the_readings(name);
        Writer w = writer({Second(900), zone(name), {}});
        EXPECT_TRUE(some_missing()) << name;
        EXPECT_EQ(days(), expected) << name;
        const Span part{expected[50].start_us + 1, expected[90].start_us + 1};
        const Days some(expected.begin() + 51, expected.begin() + 91);
        EXPECT_EQ(days(part), some) << name;
        int steps = 1;
        for (; must(w.settle_some()); ++steps) {
            EXPECT_EQ(days(), expected) << name << ", step " << steps;
            EXPECT_EQ(days(part), some) << name << ", step " << steps;
        }
        EXPECT_EQ(steps, 4) << "of 64 days each";
        EXPECT_FALSE(some_missing());
        EXPECT_EQ(days(), expected) << name;
        EXPECT_FALSE(must(w.settle_some()));
    }
    EXPECT_TRUE(must(verify(file_)).sound());
}

TEST_F(ZoneTest, GoesOnWhereARunEndedAndTakesReadingsMeanwhile) {
    const auto log = long_log();
    record_in("UTC", {log.begin(), log.end() - 500});
    {
        Writer w = writer({Second(900), zone("Asia/Kolkata"), {}});
        for (int i = 0; i < 2; ++i) EXPECT_TRUE(must(w.settle_some()));
        for (auto r = log.end() - 500; r != log.end(); ++r) must(w.append(*r));
        must(w.commit());
        EXPECT_EQ(days(), days_from_the_readings("Asia/Kolkata"));
    }
    EXPECT_TRUE(some_missing());
    EXPECT_TRUE(must(verify(file_)).sound());
    Writer w = writer({Second(900), zone("Asia/Kolkata"), {}});
    int steps = 1;
    while (must(w.settle_some())) ++steps;
    EXPECT_EQ(steps, 2) << "the newest two were done";
    EXPECT_EQ(days(), days_from_the_readings("Asia/Kolkata"));
    must(w.close());
    EXPECT_TRUE(must(verify(file_)).sound());
}

TEST_F(ZoneTest, ReadingsThatLieBeforeOthersAndAnotherZoneTogether) {
    const auto log = long_log();
    record_in("UTC", log);
    {
        Database database = open_existing_to_write(file_);
        mark_rollups_stale(database, log[10'000].at.us);
    }
    {
        const Writer w = writer({Second(900), zone("America/St_Johns"), {}});
        EXPECT_EQ(days(), days_from_the_readings("America/St_Johns"));
        // And another one, before the days of that are stored.
    }
    Writer w = writer({Second(900), zone("Asia/Kathmandu"), {}});
    must(w.settle_some());
    Database database = open_existing_to_write(file_);
    rebuild_rollups(database, zone("Asia/Kathmandu"), log[5000].at.us);
    EXPECT_EQ(days(), days_from_the_readings("Asia/Kathmandu"));
    settle_rollups(database, zone("Asia/Kathmandu"));
    EXPECT_FALSE(some_missing());
    EXPECT_EQ(days(), days_from_the_readings("Asia/Kathmandu"));
}

}  // namespace
}  // namespace amphora::record

#include "io/record/upkeep.hpp"
#include "record_fixture.hpp"

namespace amphora::record {
namespace {

TEST_F(RecordTest, WhatWasRecordedIsRead) {
    const auto log = steady_log(66'000);
    record(log);
    EXPECT_FALSE(std::filesystem::exists(file_.string() + "-tail"));
    EXPECT_FALSE(std::filesystem::exists(file_.string() + "-wal"));
    EXPECT_TRUE(same_log(readings(), log));
}

TEST_F(RecordTest, ASpanIsCutToTheReading) {
    const auto log = steady_log(70'000);
    record(log);
    const std::vector<Reading> part(log.begin() + 32'000, log.begin() + 40'001);
    EXPECT_TRUE(same_log(readings({part.front().at.us, part.back().at.us + 1}), part));
    EXPECT_TRUE(readings({0, new_year_us}).empty());
}

TEST_F(RecordTest, ReadersSeeTheTailWhileItIsWritten) {
    const auto log = steady_log(35'000);
    Writer w = writer({Second(20), LocalDays::utc(), {}});
    Reader reader = must(Reader::open(file_));
    for (std::size_t i = 0; i < log.size(); ++i) {
        ASSERT_TRUE(w.append(log[i]).has_value());
        if (i % 7000 != 6999) continue;
        ASSERT_TRUE(reader.refresh().has_value());
        EXPECT_GE(reader.count(), i + 1 - 20);
        EXPECT_EQ(reader.count(), w.safe());
        EXPECT_EQ(reader.extent()->to_us, log[w.safe() - 1].at.us + 1);
    }
}

TEST_F(RecordTest, WhatIsSafeSurvivesAPowerCut) {
    const auto log = steady_log(36'000);
    for (const std::size_t cut : {5U, 61U, 3601U, 20'000U, 32'768U, 32'800U, 35'999U}) {
        std::filesystem::remove(file_);
        std::filesystem::remove(file_.string() + "-tail");
        std::uint64_t safe = 0;
        {
            Writer w = writer();
            for (std::size_t i = 0; i < cut; ++i) ASSERT_TRUE(w.append(log[i]).has_value());
            safe = w.safe();
            EXPECT_LE(cut - safe, 60U);
            // What the device holds now is what a power cut leaves.
            for (const char* part : {"", "-wal", "-tail"})
                std::filesystem::copy(file_.string() + part, folder_ / ("cut.amphora" + std::string(part)),
                                      std::filesystem::copy_options::overwrite_existing);
        }
        const auto cut_file = folder_ / "cut.amphora";
        {
            Writer again = must(Writer::open(cut_file));
        }
        std::swap(file_, const_cast<std::filesystem::path&>(cut_file));
        EXPECT_TRUE(same_log(readings(), {log.begin(), log.begin() + static_cast<std::ptrdiff_t>(safe)}))
            << "cut at " << cut;
        std::filesystem::remove(file_);
        file_ = folder_ / "van.amphora";
    }
}

TEST_F(RecordTest, ASecondRecorderIsRefused) {
    Writer first = writer();
    const auto second = Writer::open(file_);
    ASSERT_FALSE(second.has_value());
    EXPECT_EQ(second.error().fault, Fault::busy);
    ASSERT_TRUE(first.close().has_value());
    EXPECT_TRUE(Writer::open(file_).has_value());
}

TEST_F(RecordTest, ManyStartsOfOneBootMakeOneBlock) {
    const auto log = steady_log(3000);
    for (std::size_t i = 0; i < log.size(); i += 300) {
        Writer w = writer();
        ASSERT_TRUE(w.begin_boot("boot-" + std::to_string(i), 0, true).has_value());
        for (std::size_t k = i; k < i + 300; ++k) ASSERT_TRUE(w.append(log[k]).has_value());
    }
    EXPECT_TRUE(same_log(readings(), log));
}

TEST_F(RecordTest, ABootWithAWrongClockIsPlacedRight) {
    const auto before = steady_log(5000);
    const std::int64_t wrong = new_year_us - 400 * 86400 * second_us;
    const auto lost_in_time = steady_log(4000, wrong, 2);
    const auto after = steady_log(100, new_year_us + 10'000 * second_us, 3);
    const std::int64_t shift = new_year_us + 6000 * second_us - wrong;
    {
        Writer w = writer();
        ASSERT_TRUE(w.begin_boot("first", 0, true).has_value());
        for (const auto& r : before) ASSERT_TRUE(w.append(r).has_value());
        ASSERT_TRUE(w.begin_boot("second", wrong, false).has_value());
        for (const auto& r : lost_in_time) ASSERT_TRUE(w.append(r).has_value());
        ASSERT_TRUE(w.place_boot(shift).has_value());
        for (const auto& r : after) ASSERT_TRUE(w.append(r).has_value());
    }
    auto expected = before;
    for (Reading r : lost_in_time) {
        r.at.us += shift;
        expected.push_back(r);
    }
    expected.insert(expected.end(), after.begin(), after.end());
    EXPECT_TRUE(same_log(readings(), expected));
    EXPECT_EQ(Reader::open(file_)->rollups(ledger::minute_us, {INT64_MIN, new_year_us})->size(), 0U);
}

TEST_F(RecordTest, BackwardJumpsLoseAndDuplicateNothing) {
    auto log = steady_log(8000);
    for (std::size_t i = 3000; i < 8000; ++i) log[i].at.us -= 500 * second_us - 1;
    record(log);
    auto expected = log;
    std::ranges::stable_sort(expected, {}, &Reading::at);
    EXPECT_TRUE(same_log(readings(), expected));
}

TEST_F(RecordTest, RollupsEqualThoseOfTheReadingsWhereverTheyWereSealed) {
    auto log = steady_log(90'000);
    log[100].current = Ampere::missing();
    for (std::size_t i = 50'000; i < log.size(); ++i) log[i].at.us += 3600 * second_us + 123'456;
    {
        Writer w = writer();
        for (std::size_t i = 0; i < log.size(); ++i) {
            if (i % 17'001 == 0) {
                ASSERT_TRUE(w.begin_boot("boot", 0, true).has_value());
            }
            ASSERT_TRUE(w.append(log[i]).has_value());
        }
    }
    ledger::MinuteRollups direct;
    for (const auto& r : log) direct.push(r);
    const Reader reader = must(Reader::open(file_));
    const Span all{INT64_MIN, INT64_MAX};
    EXPECT_EQ(reader.rollups(ledger::minute_us, all).value(), direct.minutes());
    EXPECT_EQ(reader.rollups(ledger::hour_us, all).value(), ledger::roll_up(direct.minutes(), ledger::hour_us));
    EXPECT_EQ(reader.rollups(ledger::day_us, all).value(), ledger::roll_up(direct.minutes(), ledger::day_us));
}

TEST_F(RecordTest, ChartsAreExactAtTheirEdges) {
    const auto log = steady_log(100'000);
    record(log);
    const Reader reader = must(Reader::open(file_));
    for (const std::size_t buckets : {3U, 50U, 700U}) {
        const auto chart =
            reader.chart({new_year_us + 30 * second_us, new_year_us + 99'000 * second_us}, buckets).value();
        ASSERT_FALSE(chart.buckets.empty());
        EXPECT_LE(chart.buckets.size(), buckets);
        for (std::size_t b = 0; b < chart.buckets.size(); ++b) {
            const std::int64_t from = chart.buckets[b].start_us;
            const std::int64_t to = b + 1 < chart.buckets.size() ? chart.buckets[b + 1].start_us : chart.end_us;
            ledger::Rollup direct;
            for (const auto& r : log)
                if (r.at.us >= from && r.at.us < to) ledger::add_values(direct, r);
            ASSERT_EQ(chart.buckets[b].voltage, direct.voltage) << buckets << " buckets, " << b;
            ASSERT_EQ(chart.buckets[b].current, direct.current);
        }
    }
}

TEST_F(RecordTest, DaysAreThoseOfTheZone) {
    // Berlin: summer time ended on 27 October 2024, a day of 25 hours (tz database).
    const auto berlin = LocalDays::in_zone("Europe/Berlin").value();
    const std::int64_t day = berlin.parse("2024-10-27").value();
    EXPECT_EQ(berlin.day_start(day, 1) - day, 25 * ledger::hour_us);
    const auto spring = berlin.parse("2024-03-31").value();
    EXPECT_EQ(berlin.day_start(spring, 1) - spring, 23 * ledger::hour_us);

    const auto log = steady_log(25 * 3600, day);
    {
        Writer w = writer({Second(60), berlin, {}});
        for (const auto& r : log) ASSERT_TRUE(w.append(r).has_value());
    }
    const auto days = Reader::open(file_)->rollups(ledger::day_us, {INT64_MIN, INT64_MAX}).value();
    ASSERT_EQ(days.size(), 1U);
    EXPECT_EQ(days[0].readings, 25 * 3600);
    {
        Writer w = writer();  // the system moved: days are now those of UTC
    }
    EXPECT_EQ(Reader::open(file_)->rollups(ledger::day_us, {INT64_MIN, INT64_MAX})->size(), 2U);
}

TEST_F(RecordTest, AStrangersDatabaseIsRefused) {
    Database other(file_, Access::create);
    other.execute("CREATE TABLE t (x)");
    EXPECT_EQ(Writer::open(file_).error().fault, Fault::not_a_record);
    EXPECT_EQ(Reader::open(file_).error().fault, Fault::not_a_record);
    EXPECT_EQ(Reader::open(folder_ / "none").error().fault, Fault::not_found);
}

TEST_F(RecordTest, AnotherRunInTheSameBootGoesOnWhereItLies) {
    {
        Writer w = writer();
        EXPECT_EQ(must(w.begin_boot("boot", 500, false)).clock_us, 500);
        ASSERT_TRUE(w.append({Instant{1'000'000}, Ampere(1), Volt(13), Celsius(20)}).has_value());
    }
    Writer w = writer();
    const BootPlace place = must(w.begin_boot("boot", 99'000, true));
    EXPECT_EQ(place.clock_us, 500);
    EXPECT_FALSE(place.synchronised);
    ASSERT_TRUE(w.append({Instant{2'000'000}, Ampere(1), Volt(13), Celsius(20)}).has_value());
    ASSERT_TRUE(w.place_boot(7'000'000).has_value());  // both runs move
    ASSERT_TRUE(w.close().has_value());
    const auto moved = readings();
    ASSERT_EQ(moved.size(), 2U);
    EXPECT_EQ(moved[0].at.us, 8'000'000);
    EXPECT_EQ(moved[1].at.us, 9'000'000);
    Writer again = writer();
    EXPECT_EQ(must(again.begin_boot("boot", 0, false)).clock_us, 7'000'500);
}

TEST_F(RecordTest, WhatTheGuardsDidIsKeptAndMovesWithItsBoot) {
    GuardAct tripped{.at_us = 5'000'000, .kind = "tripped", .guard = "low", .value = 11.5, .worst = 11.4};
    {
        Writer w = must(Writer::open(file_));
        must(w.begin_boot("boot", 0, false));
        must(w.keep(tripped));
        must(w.keep({.at_us = 5'000'001, .kind = "ordered", .relay = "loads", .on = false}));
        const auto now = must(must(Reader::open(file_)).acts({0, INT64_MAX}, 10));
        ASSERT_EQ(now.size(), 2U) << "safe while the writer goes on";
        EXPECT_EQ(now[0].relay, "loads");
        EXPECT_EQ(now[0].on, false);
        EXPECT_TRUE(std::isnan(now[0].value));
        EXPECT_EQ(now[1].guard, "low");
        EXPECT_EQ(now[1].value, 11.5);
        EXPECT_EQ(now[1].worst, 11.4);
        EXPECT_FALSE(now[1].on);
        must(w.place_boot(1'000'000'000));
    }
    const Reader reader = must(Reader::open(file_));
    EXPECT_TRUE(must(reader.acts({0, 1'000'000'000}, 10)).empty());
    EXPECT_EQ(must(reader.acts({1'000'000'000, INT64_MAX}, 10)).back().at_us, 1'005'000'000);
    EXPECT_EQ(must(reader.acts({0, INT64_MAX}, 1)).size(), 1U);
}

TEST_F(RecordTest, SalvageSavesWhatTheGuardsDid) {
    record(steady_log(100));
    {
        Writer w = must(Writer::open(file_));
        must(w.begin_boot("boot", 0, true));
        must(w.keep({.at_us = 7, .kind = "tripped", .guard = "low", .value = 11.5}));
    }
    const auto saved = folder_ / "saved.amphora";
    EXPECT_EQ(must(salvage(file_, saved)).readings, 100U);
    const auto acts = must(must(Reader::open(saved)).acts({INT64_MIN, INT64_MAX}, 10));
    ASSERT_EQ(acts.size(), 1U);
    EXPECT_EQ(acts[0].guard, "low");
}

}  // namespace
}  // namespace amphora::record

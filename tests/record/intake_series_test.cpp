// Logs that hold one value of one quantity to a line, as recorders of many sensors write them.
#include <fmt/format.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <random>

#include "io/intake/in_turns.hpp"
#include "io/intake/log_reader.hpp"
#include "io/intake/proposal.hpp"
#include "io/intake/series_join.hpp"
#include "io/intake/sorted_spool.hpp"

namespace amphora::intake {
namespace {

struct Log {
    Mapping mapping;
    std::vector<Reading> readings;
    LogReport report;
};

Log taken(const std::string& text) {
    const auto proposal = propose(text, nullptr, "UTC");
    EXPECT_TRUE(proposal && proposal->sure()) << (proposal ? fmt::format("{}", fmt::join(proposal->doubts, "; ")) : "");
    Log log;
    if (proposal) log.mapping = proposal->mapping;
    auto reader = LogReader::open(source::memory_input(text, 333), log.mapping);
    if (!reader) throw std::runtime_error(reader.error());
    while (true) {  // in small parts, so that a reading is due at every kind of border
        auto some = reader->next(3);
        if (!some || some->empty()) break;
        log.readings.insert(log.readings.end(), some->begin(), some->end());
    }
    log.report = reader->report();
    return log;
}

std::vector<Reading> all_readings(const std::string& text, const Mapping& mapping, LogReport& report) {
    auto reader = LogReader::open(source::memory_input(text, 333), mapping);
    if (!reader) throw std::runtime_error(reader.error());
    auto readings = reader->next(1'000'000);
    if (!readings) throw std::runtime_error(readings.error());
    report = reader->report();
    return *readings;
}

// Ten seconds of two sensors and a stranger, the voltage a little after the current.
std::string two_sensors(std::string_view unit_column) {
    std::string text = fmt::format("entity_id,state,last_changed{}\n", unit_column.empty() ? "" : ",unit");
    for (int s = 0; s < 40; ++s) {
        const auto line = [&](std::string_view name, double value, double at, std::string_view unit) {
            text += fmt::format("{},{:.2f},2026-05-01T08:00:{:04.1f}Z{}{}\n", name, value, at,
                                unit_column.empty() ? "" : ",", unit_column.empty() ? "" : unit);
        };
        line("sensor.van_battery_current", s % 20 < 10 ? -4.0 : -1.0, s, "A");
        line("sensor.van_battery_voltage", s % 20 < 10 ? 12.9 : 13.0, s + 0.2, "V");
        line("sensor.porch_humidity", 60.0 + s % 9, s + 0.3, "%");  // few values, as a column of words has
    }
    return text;
}

TEST(IntakeSeries, AreFoundAndPutTogether) {
    for (const char* unit : {"", "unit"}) {
        const auto log = taken(two_sensors(unit));
        ASSERT_TRUE(log.mapping.series);
        EXPECT_EQ(log.mapping.series->name, "entity_id");
        EXPECT_EQ(log.mapping.series->value, "state");
        ASSERT_EQ(log.readings.size(), 40U);
        EXPECT_EQ(log.readings[0].current.value(), -4.0);
        EXPECT_FALSE(log.readings[0].voltage.known()) << "nothing was known of it yet";
        EXPECT_EQ(log.readings[11].current.value(), -1.0);
        EXPECT_EQ(log.readings[12].voltage.value(), 13.0);
        EXPECT_EQ(log.readings[39].at.us - log.readings[0].at.us, 39'000'000) << "the last one is not left behind";
        EXPECT_EQ(log.report.others, 40U) << "the stranger's";
        EXPECT_EQ(log.report.bad, 0U);
    }
}

TEST(IntakeSeries, OfOneMomentMakeOneReading) {
    std::string text = "time,quantity,value\n";
    for (int s = 0; s < 30; ++s)
        text += fmt::format("{0},voltage_mv,{1}\n{0},current_ma,{2}\n{0},temperature_c,21\n", 1'777'622'400 + s,
                            12'900 + s % 3, -1'500 - s);
    const auto log = taken(text);
    ASSERT_EQ(log.readings.size(), 30U);
    for (std::size_t i = 0; i < 30; ++i) {
        EXPECT_NEAR(log.readings[i].current.value(), -1.5 - 0.001 * static_cast<double>(i), 1e-12);
        EXPECT_NEAR(log.readings[i].voltage.value(), 12.9 + 0.001 * static_cast<double>(i % 3), 1e-12);
        EXPECT_EQ(log.readings[i].temperature.value(), 21.0);
    }
}

TEST(IntakeSeries, ThatHoldChangesOnlyGoOnBetweenThem) {
    std::string text = "time,sensor,value\n";
    const auto line = [&](int at, const char* name, const char* value) {
        text += fmt::format("{},{},{}\n", 1'777'622'400 + at, name, value);
    };
    line(0, "battery_current", "-5");
    line(0, "battery_voltage", "12.9");
    for (int minute = 1; minute < 120; ++minute) line(minute * 60, "battery_voltage", minute % 2 ? "12.89" : "12.90");
    line(7200, "battery_current", "unavailable");
    line(7260, "battery_voltage", "12.95");
    line(7320, "battery_current", "-2");
    const auto log = taken(text);
    ASSERT_EQ(log.readings.size(), 123U);
    EXPECT_EQ(log.readings[59].current.value(), -5.0);
    EXPECT_FALSE(log.readings[61].current.known()) << "an hour without a word of it is too long";
    EXPECT_FALSE(log.readings[121].current.known());
    EXPECT_EQ(log.readings[122].current.value(), -2.0);
    EXPECT_EQ(log.readings[122].voltage.value(), 12.95);
}

TEST(IntakeSeries, TheMappingIsWrittenAndRead) {
    const auto log = taken(two_sensors("unit"));
    const auto again = parse_mapping(to_text(log.mapping));
    ASSERT_TRUE(again) << again.error();
    ASSERT_TRUE(again->series);
    EXPECT_EQ(again->series->name, log.mapping.series->name);
    EXPECT_EQ(again->series->value, log.mapping.series->value);
    EXPECT_EQ(again->series->hold_s, 3600.0);
    const auto lacking = parse_mapping("time_columns = [\"t\"]\ncurrent = {column = \"a\"}\nseries = {name = \"n\"}\n");
    ASSERT_FALSE(lacking);
    EXPECT_NE(lacking.error().find("series"), std::string::npos);
}

/// A minute of one quantity after another, as an export of a table sorted by name is.
std::string grouped(std::size_t count, bool newest_first = false) {
    std::string text = "name,at,value\n";
    const auto group = [&](const char* name, auto&& value) {
        for (std::size_t i = 0; i < count; ++i) {
            const std::size_t s = newest_first ? count - 1 - i : i;
            text += fmt::format("{},{},{}\n", name, 1'777'622'400 + s, value(s));
        }
    };
    group("attic_humidity", [](std::size_t s) { return fmt::format("{}", 50 + s % 7); });
    group("battery_current", [](std::size_t s) { return fmt::format("{:.2f}", s / 10 % 2 == 0 ? -4.0 : -1.0); });
    group("battery_temperature", [](std::size_t) { return std::string("21"); });
    group("battery_voltage", [](std::size_t s) { return fmt::format("{:.2f}", s / 10 % 2 == 0 ? 12.9 : 13.0); });
    return text;
}

TEST(IntakeSeries, GroupedByQuantityAreFoundAndPutTogether) {
    for (const bool newest_first : {false, true}) {
        const std::string text = grouped(2'000, newest_first);
        const auto first = propose(text, nullptr, "UTC");
        ASSERT_TRUE(first && first->mapping.series) << "though its beginning holds a stranger's values only";
        ASSERT_TRUE(first->series_open);
        const auto turns = in_turns(source::memory_input(text, 1000), first->mapping);
        ASSERT_TRUE(turns) << turns.error();
        const auto whole = propose(*turns, nullptr, "UTC");
        ASSERT_TRUE(whole && whole->sure());
        EXPECT_FALSE(whole->series_open);
        LogReport report;
        const auto readings = all_readings(text, whole->mapping, report);
        ASSERT_EQ(readings.size(), 2'000U);
        EXPECT_EQ(report.others, 2'000U);
        EXPECT_EQ(report.sign.verdict(), SignVerdict::agrees);
        for (std::size_t s = 0; s < readings.size(); ++s) {
            EXPECT_EQ(readings[s].at.us, 1'777'622'400'000'000 + static_cast<std::int64_t>(s) * 1'000'000);
            EXPECT_EQ(readings[s].current.value(), s / 10 % 2 == 0 ? -4.0 : -1.0);
            EXPECT_EQ(readings[s].voltage.value(), s / 10 % 2 == 0 ? 12.9 : 13.0);
            EXPECT_EQ(readings[s].temperature.value(), 21.0);
        }
    }
}

TEST(IntakeSeries, WhatAMappingLacksIsAddedAndTheRestStays) {
    Mapping first;
    first.series = SeriesColumns{"name", "value"};
    first.current = ValueColumn{"battery_current", -1.0};
    Mapping whole = first;
    whole.current = ValueColumn{"battery_current", 1.0};
    whole.voltage = ValueColumn{"battery_voltage"};
    complete_series(first, whole);
    EXPECT_EQ(first.current->scale, -1.0) << "as the person saw it";
    ASSERT_TRUE(first.voltage);
    EXPECT_EQ(first.voltage->column, "battery_voltage");
}

/// Whatever the order and however little memory there is, it is that of a stable sort.
TEST(IntakeSeries, ValuesBeyondWhatMemoryHoldsAreSortedInAFile) {
    for (const std::size_t in_memory : {std::size_t{1000}, std::size_t{64}, std::size_t{100'000}}) {
        std::mt19937_64 random(4);
        std::vector<SpooledValue> all;
        SortedSpool spool(in_memory);
        for (int i = 0; i < 20'000; ++i) {
            all.push_back({static_cast<std::int64_t>(random() % 5'000), static_cast<double>(i)});
            spool.put(all.back());
        }
        spool.end();
        std::ranges::stable_sort(all, {}, &SpooledValue::key);
        for (const SpooledValue& expected : all) {
            const auto got = spool.next();
            ASSERT_TRUE(got) << spool.error();
            ASSERT_EQ(got->key, expected.key);
            ASSERT_EQ(got->value, expected.value);
        }
        EXPECT_FALSE(spool.next());
        EXPECT_TRUE(spool.error().empty());
    }
}

TEST(IntakeSeries, WithoutRoomToSortItIsSaid) {
    const char* const before = std::getenv("TMPDIR");
    const std::string kept = before != nullptr ? before : "";
    ::setenv("TMPDIR", "/nonexistent", 1);
    SortedSpool spool(10);
    for (int i = 0; i < 100; ++i) spool.put({i, 0.0});
    spool.end();
    EXPECT_FALSE(spool.next());
    EXPECT_NE(spool.error().find("TMPDIR"), std::string::npos) << spool.error();
    before != nullptr ? ::setenv("TMPDIR", kept.c_str(), 1) : ::unsetenv("TMPDIR");
}

/// A log in which quantities take turns comes out as it goes in; a grouped one when all of it went in. Both alike.
TEST(IntakeSeries, MomentsComeOutAsSoonAsTheOrderIsClear) {
    const auto fill = [](SeriesJoin& join, bool in_turns) {
        join.expect(6, true);
        join.expect(9, false);
        std::vector<SeriesJoin::Moment> out;
        const auto put = [&](std::size_t quantity, int s) {
            join.put(quantity, static_cast<double>(quantity) + 0.001 * s, Instant{s * 1'000'000LL});
            while (const auto moment = join.next()) out.push_back(*moment);
        };
        for (int s = 0; in_turns && s < 100; ++s) {
            put(6, s);
            put(9, s);
        }
        for (const std::size_t quantity : {6U, 9U})
            for (int s = 0; !in_turns && s < 100; ++s) put(quantity, s);
        return out;
    };
    for (const std::size_t in_memory : {std::size_t{1000}, std::size_t{50}}) {
        for (const bool in_turns : {true, false}) {
            SeriesJoin join(Second(60), in_memory);
            auto out = fill(join, in_turns);
            EXPECT_EQ(out.size(), in_turns ? 99U : 0U);
            join.end();
            while (const auto moment = join.next()) out.push_back(*moment);
            ASSERT_EQ(out.size(), 100U);
            for (std::size_t s = 0; s < 100; ++s) {
                EXPECT_EQ(out[s].at.us, static_cast<std::int64_t>(s) * 1'000'000);
                EXPECT_EQ(out[s].values[6], 6.0 + 0.001 * static_cast<double>(s));
                EXPECT_EQ(out[s].values[9], 9.0 + 0.001 * static_cast<double>(s));
            }
        }
    }
}

TEST(IntakeSeries, InJsonLinesToo) {
    std::string text;
    for (int s = 0; s < 20; ++s)
        text += fmt::format(
            "{{\"ts\": {0}, \"sensor\": \"bank current\", \"value\": {1}}}\n"
            "{{\"ts\": {0}, \"sensor\": \"bank voltage\", \"value\": 13.1}}\n",
            1'777'622'400 + s, -3.5);
    const auto log = taken(text);
    ASSERT_EQ(log.readings.size(), 20U);
    EXPECT_EQ(log.readings[7].current.value(), -3.5);
    EXPECT_EQ(log.readings[7].voltage.value(), 13.1);
}

}  // namespace
}  // namespace amphora::intake

// Logs that hold one value of one quantity to a line, as recorders of many sensors write them.
#include <fmt/format.h>
#include <gtest/gtest.h>

#include <cmath>

#include "io/intake/log_reader.hpp"
#include "io/intake/proposal.hpp"

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

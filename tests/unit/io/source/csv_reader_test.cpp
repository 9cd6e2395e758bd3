#include "io/source/csv_reader.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <string>

namespace amphora::source {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;

struct Log {
    std::vector<Reading> readings;
    CsvReport report;
    std::vector<std::string> complaints;
};

System with_meter(double amperes, double volts) {
    System system;
    system.meters.push_back({"main", Ampere(amperes), Volt(volts)});
    return system;
}

Log read(std::string_view text, const System& system = {}, std::size_t piece = SIZE_MAX) {
    auto reader = CsvReader::open(memory_input(text, piece), system);
    EXPECT_TRUE(reader) << reader.error().message;
    Log log;
    for (;;) {
        const auto batch = reader->next();
        EXPECT_TRUE(batch);
        if (batch->empty()) break;
        log.readings.insert(log.readings.end(), batch->begin(), batch->end());
    }
    log.report = reader->report();
    for (const auto& bad : log.report.first_bad) log.complaints.push_back(bad_line_words(bad));
    return log;
}

constexpr std::string_view header = "time_utc,current_a,voltage_v,temperature_c\n";

Log read_rows(std::string_view rows) { return read(std::string(header) + std::string(rows)); }

void expect_one(const Log& log, double current, double voltage, double temperature) {
    ASSERT_EQ(log.readings.size(), 1U) << testing::PrintToString(log.complaints);
    EXPECT_EQ(log.readings[0].at.us, 1'777'593'600'000'000);
    EXPECT_EQ(log.readings[0].current.value(), current);
    EXPECT_EQ(log.readings[0].voltage.value(), voltage);
    EXPECT_EQ(log.readings[0].temperature.value(), temperature);
    EXPECT_EQ(log.report.bad, 0U);
}

TEST(CsvReader, APlainLine) { expect_one(read_rows("1777593600,-12.34,13.27,21.5\n"), -12.34, 13.27, 21.5); }
TEST(CsvReader, WithoutALineEndAtTheEnd) { expect_one(read_rows("1777593600,-12.34,13.27,21.5"), -12.34, 13.27, 21.5); }
TEST(CsvReader, CarriageReturns) { expect_one(read_rows("1777593600,-12.34,13.27,21.5\r\n\r\n"), -12.34, 13.27, 21.5); }
TEST(CsvReader, TrailingCommas) { expect_one(read_rows("1777593600,-12.34,13.27,21.5,, \n"), -12.34, 13.27, 21.5); }
TEST(CsvReader, BlanksAndQuotes) {
    expect_one(read_rows(" 1777593600 ,\"-12.34\", \" 13.27 \" ,\t21.5 \n"), -12.34, 13.27, 21.5);
}
TEST(CsvReader, CalendarTimeInQuotes) { expect_one(read_rows("\"2026-05-01 00:00:00\",1,2,3\n"), 1, 2, 3); }
TEST(CsvReader, ByteOrderMark) {
    expect_one(read("\xEF\xBB\xBFtime_utc,current_a,voltage_v,temperature_c\r\n1777593600,1,2,3\r\n"), 1, 2, 3);
}

TEST(CsvReader, OrderIsFreeAndOtherColumnsAreIgnored) {
    const auto log = read("note,voltage_v,id,time_utc,current_a\n\"a, \"\"b\"\"\",13.2,x7,1777593600,-5\n");
    ASSERT_EQ(log.readings.size(), 1U) << testing::PrintToString(log.complaints);
    EXPECT_EQ(log.readings[0].voltage.value(), 13.2);
    EXPECT_EQ(log.readings[0].current.value(), -5.0);
    EXPECT_FALSE(log.readings[0].temperature.known());
    EXPECT_THAT(log.report.notes, ElementsAre("not used: columns \"note\", \"id\""));
}

TEST(CsvReader, SemicolonsAndTabs) {
    EXPECT_EQ(read("time_utc;current_a;voltage_v\n1777593600;-5;13.2\n").readings.size(), 1U);
    EXPECT_EQ(read("time_utc\tcurrent_a\tvoltage_v\n1777593600\t\t13.2\n").readings.size(), 1U);
}

TEST(CsvReader, MissingCells) {
    const auto log = read_rows("1777593600,,13.2,\n1777593601,nan,NA,null\n1777593602,-nan,\"\",NaN\n");
    ASSERT_EQ(log.readings.size(), 3U) << testing::PrintToString(log.complaints);
    EXPECT_EQ(log.readings[0].voltage.value(), 13.2);
    for (const auto& reading : log.readings) {
        EXPECT_FALSE(reading.current.known());
        EXPECT_FALSE(reading.temperature.known());
    }
    EXPECT_FALSE(log.readings[1].voltage.known());
    EXPECT_FALSE(log.readings[2].voltage.known());
}

TEST(CsvReader, BlankLinesCommentsAndJoinedLogs) {
    const auto log = read(
        "# made by hand\n\n  \ntime_utc,current_a,voltage_v\n# 1777593600,1,2\n\n1777593600,1,2\n"
        "time_utc,current_a,voltage_v\n1777593601,1,2\n");
    EXPECT_EQ(log.readings.size(), 2U);
    EXPECT_EQ(log.report.comments, 2U);
    EXPECT_EQ(log.report.blank, 3U);
    EXPECT_EQ(log.report.repeated_headers, 1U);
    EXPECT_EQ(log.report.bad, 0U);
}

TEST(CsvReader, ACommentIsNoReadingEvenInAColumnThatIsIgnored) {
    EXPECT_THAT(read("id,time_utc,current_a,voltage_v\n#7,1777593600,1,2\n").readings, IsEmpty());
}

TEST(CsvReader, ReadingsInTheOrderOfTheFile) {
    const auto log = read_rows("20,1,2,3\n10,1,2,3\n10,1,2,3\n");
    ASSERT_EQ(log.readings.size(), 3U);
    EXPECT_EQ(log.readings[0].at.us, 20'000'000);
    EXPECT_EQ(log.readings[1].at.us, 10'000'000);
    EXPECT_EQ(log.readings[2].at.us, 10'000'000);
}

TEST(CsvReader, TheShuntsDropByTheRatedPair) {
    // 300 A at 75 mV: 4 A per millivolt.
    const auto log = read("time_utc,shunt_mv,voltage_v\n1777593600,-2.5,13.2\n", with_meter(300.0, 0.075));
    ASSERT_EQ(log.readings.size(), 1U);
    EXPECT_NEAR(log.readings[0].current.value(), -10.0, 1e-12);
    EXPECT_THAT(log.report.notes,
                ElementsAre("current from shunt_mv by the rated pair of meter \"main\": 300 A at 75 mV"));
}

TEST(CsvReader, TheShuntsDropNeedsARatedPair) {
    const auto reader = CsvReader::open(memory_input("time_utc,shunt_mv,voltage_v\n"), {});
    ASSERT_FALSE(reader);
    EXPECT_EQ(reader.error().fault, SourceFault::no_rated_pair);
    EXPECT_THAT(reader.error().message, HasSubstr("rated_drop_mv"));
}

TEST(CsvReader, EachBadLineIsCountedAndTheFirstFiveAreShown) {
    const auto log = read_rows(
        "x,1,2,3\n"
        ",1,2,3\n"
        "1777593600000,1,2,3\n"
        "1777593600,1.2.3,2,3\n"
        "1777593600,1,inf,3\n"
        "1777593600,1,2\n"
        "1777593600,1,2,3,4\n"
        "1777593600,1,1e7,3\n"
        "1777593600,1,\"2,3\n"
        "1777593600,1,2,3\n");
    EXPECT_EQ(log.readings.size(), 1U);
    EXPECT_EQ(log.report.bad, 9U);
    EXPECT_THAT(log.complaints,
                ElementsAre("line 2: \"x\" in time_utc is no time; expected unix seconds such as 1777593600.5, or "
                            "RFC 3339 such as 2026-05-01T00:00:00Z",
                            "line 3: no time in time_utc",
                            "line 4: \"1777593600000\" in time_utc is not in the years 1970 to 9999; expected seconds "
                            "(milliseconds?)",
                            "line 5: \"1.2.3\" in current_a is no number; expected one such as -12.34, or nothing",
                            "line 6: \"inf\" in voltage_v is no number; expected one such as -12.34, or nothing"));
}

std::string only_complaint(std::string_view row) {
    const auto log = read_rows(row);
    EXPECT_THAT(log.readings, IsEmpty()) << row;
    return log.complaints.size() == 1 ? log.complaints[0] : testing::PrintToString(log.complaints);
}

TEST(CsvReader, WhatIsExpectedInsteadOfABadLine) {
    EXPECT_EQ(only_complaint("1777593600,1,2\n"),
              "line 2: too few cells in \"1777593600,1,2\"; expected as many as the header has");
    EXPECT_EQ(only_complaint("1777593600,1,2,3,4\n"),
              "line 2: too many cells in \"1777593600,1,2,3,4\"; expected as many as the header has");
    EXPECT_EQ(only_complaint("1777593600,1,1e7,3\n"),
              "line 2: \"1e7\" in voltage_v is larger than any meter shows; expected less than a million");
    EXPECT_EQ(only_complaint("1777593600,1,1e999,3\n"),
              "line 2: \"1e999\" in voltage_v is larger than any meter shows; expected less than a million");
    EXPECT_EQ(only_complaint("1777593600,\"1,2,3\n"), "line 2: a quote that does not enclose a cell, in \"\"1,2,3\"");
    EXPECT_EQ(only_complaint("1777593600,\"1\"2,3,4\n"),
              "line 2: a quote that does not enclose a cell, in \"\"1\"2,3,4\"");
    EXPECT_EQ(only_complaint("1777593600 5,1,2,3\n").substr(0, 37), "line 2: \"1777593600 5\" in time_utc is");
}

TEST(CsvReader, BinaryGarbageIsCountedAndShownSafely) {
    EXPECT_EQ(
        only_complaint(std::string_view("17\0\x01\x1b[2J,1,2,3\n", 14)),
        "line 2: \"17???[2J\" in time_utc is no time; expected unix seconds such as 1777593600.5, or RFC 3339 such "
        "as 2026-05-01T00:00:00Z");
    EXPECT_EQ(read_rows(std::string_view("1777593600,1\0,2,3\n", 18)).report.bad, 1U);
}

TEST(CsvReader, ALineOfMoreThan64KiBIsOneBadLine) {
    const std::string long_cell(longest_line + 10, 'x');
    const std::string much_longer(3 * 1024 * 1024, '1');
    const auto log = read("time_utc,current_a,voltage_v,note\n1777593600,1,2,a\n1777593601,1,2," + long_cell +
                          "\n1777593602,1,2,b\n" + much_longer + "\n1777593603,1,2,c\n" + much_longer);
    EXPECT_EQ(log.readings.size(), 3U);
    EXPECT_EQ(log.report.bad, 3U);
    EXPECT_THAT(log.complaints, ElementsAre("line 3: longer than 64 KiB; expected a line per reading",
                                            "line 5: longer than 64 KiB; expected a line per reading",
                                            "line 7: longer than 64 KiB; expected a line per reading"));
}

TEST(CsvReader, ALineOf64KiBIsRead) {
    std::string line = "1777593600,1,2,";
    line.append(longest_line - line.size(), 'x');
    const auto log = read("time_utc,current_a,voltage_v,note\n" + line + "\n");
    EXPECT_EQ(log.readings.size(), 1U);
}

SourceFault fault_of(std::string_view text) {
    const auto reader = CsvReader::open(memory_input(text), {});
    EXPECT_FALSE(reader);
    return reader ? SourceFault::cannot_open : reader.error().fault;
}

TEST(CsvReader, NoLogAtAll) {
    EXPECT_EQ(fault_of(""), SourceFault::no_header);
    EXPECT_EQ(fault_of("\n# nothing\n"), SourceFault::no_header);
    EXPECT_EQ(fault_of(std::string(200'000, 'x')), SourceFault::not_text);
    EXPECT_EQ(fault_of("\xFF\xFEt\0i"), SourceFault::not_text);
    EXPECT_EQ(CsvReader::open(*open_input("/"), {}).error().fault, SourceFault::cannot_read);
    EXPECT_EQ(open_input("/no/such/file").error().fault, SourceFault::cannot_open);
}

TEST(CsvReader, AHeaderAlone) {
    EXPECT_THAT(read(header).readings, IsEmpty());
    EXPECT_THAT(read("time_utc,current_a,voltage_v").readings, IsEmpty());
}

TEST(CsvReader, TheSameHoweverTheBytesArrive) {
    const std::string text =
        std::string(header) + "1,2,3,4\r\n\n5,x,7,8\n# c\n" + std::string(70'000, 'y') + "\n9,10,,12\n13,14,15,16";
    const auto whole = read(text);
    for (const std::size_t piece : {1UL, 7UL, 4096UL, 65536UL}) {
        const auto log = read(text, {}, piece);
        EXPECT_EQ(log.readings.size(), whole.readings.size());
        EXPECT_EQ(log.report.bad, whole.report.bad);
        EXPECT_EQ(log.complaints, whole.complaints);
    }
}

TEST(CsvReader, ManyBatchesAcrossManyBlocks) {
    std::string text(header);
    for (int i = 0; i < 100'000; ++i) text += std::to_string(i) + ",1.5,13.25,20\n";
    const auto log = read(text);
    ASSERT_EQ(log.readings.size(), 100'000U);
    for (std::size_t i = 0; i < log.readings.size(); ++i)
        ASSERT_EQ(log.readings[i].at.us, static_cast<std::int64_t>(i) * 1'000'000);
    EXPECT_EQ(log.report.readings, 100'000U);
}

// An input that breaks off: what was read before is handed out first.
class BreaksOff final : public ByteInput {
public:
    std::expected<std::size_t, SourceError> read(std::span<char> room) override {
        if (broken_) return std::unexpected(SourceError{SourceFault::cannot_read, "broken off"});
        broken_ = true;
        const std::string_view text = "time_utc,current_a,voltage_v\n1,2,3\n4,5";
        std::ranges::copy(text, room.begin());
        return text.size();
    }
    [[nodiscard]] std::string name() const override { return "breaks off"; }

private:
    bool broken_ = false;
};

TEST(CsvReader, AnInputThatBreaksOff) {
    auto reader = CsvReader::open(std::make_unique<BreaksOff>(), {});
    ASSERT_TRUE(reader);
    const auto first = reader->next();
    ASSERT_TRUE(first);
    EXPECT_EQ(first->size(), 1U);
    const auto second = reader->next();
    ASSERT_FALSE(second);
    EXPECT_EQ(second.error().message, "broken off");
}

}  // namespace
}  // namespace amphora::source

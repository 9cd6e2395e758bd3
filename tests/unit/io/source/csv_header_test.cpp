#include "io/source/csv_header.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace amphora::source {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;

TEST(CsvHeader, NamesInAnyOrderAndCase) {
    const auto header = read_csv_header("Voltage_V, \"CURRENT_A\" ,time_utc,note,temperature_c,", "log.csv");
    ASSERT_TRUE(header) << header.error().message;
    EXPECT_THAT(header->columns,
                ElementsAre(Column::voltage, Column::current, Column::time, Column::ignored, Column::temperature));
    EXPECT_THAT(header->notes, ElementsAre("not used: column \"note\""));
}

TEST(CsvHeader, OtherSeparators) {
    EXPECT_EQ(read_csv_header("time_utc;current_a;voltage_v", "log.csv")->separator, ';');
    EXPECT_EQ(read_csv_header("time_utc\tcurrent_a\tvoltage_v", "log.csv")->separator, '\t');
}

TEST(CsvHeader, CurrentIsPreferredToTheShuntsDrop) {
    const auto header = read_csv_header("time_utc,shunt_mv,current_a,voltage_v", "log.csv");
    EXPECT_THAT(header->columns, ElementsAre(Column::time, Column::ignored, Column::current, Column::voltage));
    EXPECT_THAT(header->notes, ElementsAre("not used: column \"shunt_mv\""));
}

TEST(CsvHeader, MissingColumnsWithTheNearestNames) {
    const auto header = read_csv_header("time_uct,amps,voltage", "log.csv");
    ASSERT_FALSE(header);
    EXPECT_EQ(header.error().fault, SourceFault::missing_column);
    EXPECT_EQ(header.error().message,
              "log.csv: no column \"time_utc\" (is \"time_uct\" meant to be it?), no column \"current_a\" or "
              "\"shunt_mv\", no column \"voltage_v\" (is \"voltage\" meant to be it?); found: \"time_uct\", \"amps\", "
              "\"voltage\"");
}

TEST(CsvHeader, RepeatedColumn) {
    const auto header = read_csv_header("time_utc,current_a,voltage_v,Voltage_V", "log.csv");
    ASSERT_FALSE(header);
    EXPECT_EQ(header.error().fault, SourceFault::repeated_column);
    EXPECT_THAT(header.error().message, HasSubstr("two columns are named \"Voltage_V\""));
}

TEST(CsvHeader, DataWithoutAHeader) {
    for (const auto* line : {"1777593600,-3.2,13.2", "-3.2,1777593600", "2026-05-01T00:00:00Z,1,2"}) {
        const auto header = read_csv_header(line, "log.csv");
        ASSERT_FALSE(header);
        EXPECT_EQ(header.error().fault, SourceFault::no_header);
    }
}

TEST(CsvHeader, NothingButSeparators) {
    const auto header = read_csv_header(",,,", "log.csv");
    ASSERT_FALSE(header);
    EXPECT_THAT(header.error().message, HasSubstr("found: none"));
}

TEST(CsvHeader, WhatIsNoLogAtAllIsShownInBrief) {
    std::string line(
        "\x7f"
        "ELF\x01\x02");
    for (int i = 0; i < 1000; ++i) line += "," + std::string(200, '\x01');
    const auto header = read_csv_header(line, "log.csv");
    ASSERT_FALSE(header);
    EXPECT_THAT(header.error().message, HasSubstr("\"?ELF??\""));
    EXPECT_THAT(header.error().message, HasSubstr("and 981 more"));
    EXPECT_LT(header.error().message.size(), 2000u);
}

TEST(CsvHeader, AQuoteThatIsNotClosed) {
    EXPECT_EQ(read_csv_header("time_utc,\"current_a,voltage_v", "log.csv").error().fault, SourceFault::no_header);
}

}  // namespace
}  // namespace amphora::source

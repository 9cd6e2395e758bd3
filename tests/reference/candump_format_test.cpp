// can-utils 2020.11.0: the log format of candump -l (lib.h), the lines that candump prints, and what log2long of the
// same package makes of a log (the lines below marked so are its output).
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <string>

#include "io/source/rvc/candump_line.hpp"

namespace amphora::rvc {
namespace {

constexpr CanFrame dc_source{0x19FFFD80, true, FrameKind::data, 8, {0x01, 0x78, 0x09, 0x01, 0x39, 0xC4, 0x35, 0x77}};

CandumpFault fault(std::string_view line) {
    const auto read = read_candump_line(line);
    if (read) ADD_FAILURE() << "\"" << line << "\" was read";
    return read ? CandumpFault{} : read.error();
}

TEST(CandumpFormat, LogLine) {
    const auto line = read_candump_line("(1700000000.000000) can0 19FFFD80#0178090139C43577");
    ASSERT_TRUE(line);
    EXPECT_EQ(line->at, Instant{1'700'000'000'000'000});
    EXPECT_EQ(line->bus, "can0");
    EXPECT_EQ(line->frame, dc_source);
}

TEST(CandumpFormat, EveryWayToWriteTheSameFrame) {
    for (const auto* text : {
             "(1436509052.249713) vcan0 19FFFD80#01.78.09.01.39.C4.35.77",
             "(1436509052.249713) can0 19FFFD80#0178090139c43577 R",                // direction, of newer versions
             "(1700000000.000000)  can0  19FFFD80   [8]  01 78 09 01 39 C4 35 77",  // candump -t a
             " (1700000000.000000)  can0  19FFFD80   [8]  01 78 09 01 39 C4 35 77",
             "(1700000000.000000)  can0  19FFFD80   [8]  01 78 09 01 39 C4 35 77   '.x..9.5w'",  // log2long
             "  can0  19FFFD80   [8]  01 78 09 01 39 C4 35 77",
             "  can0  19FFFD80   [8]  01 78 09 01 39 C4 35 77   '.x..9.5w'",                  // candump -a
             "  can0  RX - -  19FFFD80   [8]  01 78 09 01 39 C4 35 77",                       // candump -x
             " (000.000000)  can0  19FFFD80   [8]  01 78 09 01 39 C4 35 77",                  // candump -t z
             " (2023-11-14 22:13:20.000000)  can0  19FFFD80   [8]  01 78 09 01 39 C4 35 77",  // candump -t A
             "can0 19FFFD80#0178090139C43577\r",
         }) {
        const auto line = read_candump_line(text);
        ASSERT_TRUE(line) << text << ": " << describe(line.error());
        EXPECT_EQ(line->frame, dc_source) << text;
    }
}

TEST(CandumpFormat, ARelativeTimeIsNoMoment) {
    EXPECT_EQ(read_candump_line("(012.345678) can0 123#")->at, std::nullopt);
    EXPECT_EQ(read_candump_line("can0 123#")->at, std::nullopt);
}

TEST(CandumpFormat, OtherFrames) {
    const auto standard = read_candump_line("can0 123#DEADBEEF");
    EXPECT_FALSE(standard->frame.extended);
    EXPECT_EQ(standard->frame.id, 0x123U);
    EXPECT_EQ(standard->frame.length, 4);
    EXPECT_EQ(read_candump_line("can0 123#R")->frame.kind, FrameKind::remote);
    EXPECT_EQ(read_candump_line("can0 123#R8")->frame.kind, FrameKind::remote);
    EXPECT_EQ(read_candump_line("(1700000000.100000)  can0       123   [0]  remote request")->frame.kind,
              FrameKind::remote);  // log2long
    EXPECT_EQ(
        read_candump_line("(1700000000.2)  can0  20000008   [8]  00 00 01 00 00 00 00 00   ERRORFRAME")->frame.kind,
        FrameKind::error);  // log2long
    EXPECT_EQ(read_candump_line("can0 20000008#0000010000000000")->frame.kind, FrameKind::error);
    EXPECT_EQ(read_candump_line("can0 123#")->frame.length, 0);
    EXPECT_EQ(read_candump_line("can0 123 [0]")->frame.length, 0);
}

TEST(CandumpFormat, WhatIsWrongIsSaid) {
    for (const auto* none : {"", "   ", "can0", "# a comment", "hello world", "can0 19FFFD80", "\x00\x01\xFF"})
        EXPECT_EQ(fault(none), CandumpFault::no_frame) << none;
    for (const auto* time : {"(", "() can0 123#", "(x) can0 123#", "(1700000000.0 can0 123#", "(1e99) can0 123#"})
        EXPECT_EQ(fault(time), CandumpFault::bad_time) << time;
    for (const auto* id : {"can0 #", "can0 12#", "can0 1234#", "can0 800#", "can0 XYZ#", "can0 -12#",
                           "can0 19FFFD8G#00", "can0 F9FFFD80#00", "can0 19FFFD800#00"})
        EXPECT_EQ(fault(id), CandumpFault::bad_identifier) << id;
    for (const auto* data : {"can0 123#0", "can0 123#XX", "can0 123#001122334455667788", "can0 123#+1", "can0 123#R9",
                             "can0 123 [8] 01 02", "can0 123 [9] 01", "can0 123 [x] 01", "can0 123 [2] 01 0203",
                             "can0 123 [1", "can0 123 [ 01"})
        EXPECT_EQ(fault(data), CandumpFault::bad_data) << data;
    for (const auto* fd : {"can0 123##100112233",
                           "(1700000001.000000)  can0       123  [03]  AA BB CC                  '...'"})  // log2long
        EXPECT_EQ(fault(fd), CandumpFault::long_frame) << fd;
}

TEST(CandumpFormat, EveryFaultHasWords) {
    for (const auto kind : {CandumpFault::no_frame, CandumpFault::bad_time, CandumpFault::bad_identifier,
                            CandumpFault::bad_data, CandumpFault::long_frame})
        EXPECT_THAT(std::string(describe(kind)), testing::HasSubstr("expected"));
}

}  // namespace
}  // namespace amphora::rvc

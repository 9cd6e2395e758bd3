#include <gtest/gtest.h>
#include <zlib.h>
#include <zstd.h>

#include <cmath>

#include "io/intake/log_reader.hpp"
#include "io/intake/proposal.hpp"
#include "io/intake/time_text.hpp"
#include "io/intake/unpack.hpp"

namespace amphora::intake {
namespace {

std::vector<Reading> read_all(const std::string& text, const Mapping& mapping, LogReport* report = nullptr) {
    auto reader = LogReader::open(source::memory_input(text, 777), mapping);
    EXPECT_TRUE(reader.has_value()) << reader.error();
    auto readings = reader->next(1'000'000);
    EXPECT_TRUE(readings.has_value());
    if (report != nullptr) *report = reader->report();
    return *readings;
}

Mapping proposed(const std::string& text, const std::string& zone = "UTC") {
    const auto p = propose(text, System{}, zone);
    EXPECT_TRUE(p.has_value()) << (p ? "" : p.error());
    return p ? p->mapping : Mapping{};
}

TEST(Intake, GermanTextWithDecimalCommaAndMilliamperes) {
    const std::string text =
        "Export of a meter\nDatum;Zeit;Strom (mA);Spannung [V];Temp (F)\n"
        "26.10.2024;12:00:00;-3785;13,01;68,0\n26.10.2024;12:00:01;1200;13,27;32,0\n";
    const Mapping m = proposed(text);
    EXPECT_EQ(m.delimiter, ';');
    EXPECT_TRUE(m.decimal_comma);
    EXPECT_EQ(m.skip_lines, 1U);
    const auto log = read_all(text, m);
    ASSERT_EQ(log.size(), 2U);
    EXPECT_EQ(log[0].at.us, 1'729'944'000'000'000);
    EXPECT_EQ(log[0].current.value(), -3.785);
    EXPECT_EQ(log[1].voltage.value(), 13.27);
    EXPECT_NEAR(log[0].temperature.value(), 20.0, 1e-9);
    EXPECT_NEAR(log[1].temperature.value(), 0.0, 1e-9);
}

TEST(Intake, CommonWaysOfWritingTimesAreFound) {
    for (const char* time : {"2024-10-26T12:00:00Z", "2024-10-26 12:00:00", "1729944000", "1729944000.0",
                             "1729944000000", "26.10.2024 12:00:00", "26/10/2024 12:00", "10/26/2024 12:00:00",
                             "2024/10/26 12:00:00", "10/26/2024 12:00:00 PM", "2024-10-26T14:00:00+02:00"}) {
        const std::string text = std::string("time,current,voltage\n") + time + ",-1.5,12.8\n" + time + ",-1.5,12.8\n";
        const auto log = read_all(text, proposed(text));
        ASSERT_EQ(log.size(), 2U) << time;
        EXPECT_EQ(log[0].at.us, 1'729'944'000'000'000) << time;
    }
}

TEST(Intake, ATimestampIsNoCurrentAndBlanksMaySeparate) {
    const std::string text = "timestamp amps volts\n1729944000 -1.5 12.8\n1729944001 -1.5 12.8\n";
    const auto log = read_all(text, proposed(text));
    ASSERT_EQ(log.size(), 2U);
    EXPECT_EQ(log[0].current.value(), -1.5);
    const auto empty = propose("time,current,voltage\n", System{}, "UTC");
    ASSERT_FALSE(empty.has_value());
    EXPECT_NE(empty.error().find("no readings"), std::string::npos) << empty.error();
    const auto garbage = propose("\x1b[2J\x01\x02\n\x03\x04\n", System{}, "UTC");
    ASSERT_FALSE(garbage.has_value());
    EXPECT_EQ(garbage.error().find('\x1b'), std::string::npos) << "nothing of it may reach a terminal as it is";
}

TEST(Intake, JsonLinesAreReadByTheirKeys) {
    const std::string text =
        "{\"ts\": \"2024-10-26T12:00:00Z\", \"timestamp\": 1729944000, \"volts\": 12.81, \"amps\": -2.5, \"note\": "
        "{\"x\": 1}}\n"
        "{\"timestamp\": 1729944001, \"volts\": null, \"amps\": -2.6}\nnot json\n";
    Mapping m = proposed(text);
    EXPECT_TRUE(m.json_lines);
    LogReport report;
    const auto log = read_all(text, m, &report);
    ASSERT_EQ(log.size(), 2U);
    EXPECT_EQ(log[1].current.value(), -2.6);
    EXPECT_FALSE(log[1].voltage.known());
    EXPECT_EQ(report.bad, 1U);
    EXPECT_EQ(report.first_bad[0].number, 3U);
}

TEST(Intake, BadLinesAreCountedAndShown) {
    const std::string text = "time_utc,current_a,voltage_v\n1,2,3\n2,x,3\n3,4\n,1,2\n5,1e9,2\n6,,\n7,\"1,2\n";
    Mapping m;
    m.time_columns = {"time_utc"};
    m.time_format = "unix";
    m.current = ValueColumn{"current_a"};
    m.voltage = ValueColumn{"voltage_v"};
    LogReport report;
    const auto log = read_all(text, m, &report);
    EXPECT_EQ(log.size(), 2U);
    EXPECT_EQ(report.lines, 7U);
    EXPECT_EQ(report.bad, 5U);
    ASSERT_EQ(report.first_bad.size(), 5U);
    EXPECT_EQ(report.first_bad[0].number, 3U);
    EXPECT_FALSE(log[1].current.known());
}

TEST(Intake, TheHourThatComesTwiceIsReadTwice) {
    // Berlin, 27 October 2024: 02:00 to 03:00 came twice (tz database).
    auto time = TimeText::of("rfc3339", "Europe/Berlin");
    ASSERT_TRUE(time.has_value());
    const auto first = time->read("2024-10-27T02:59:59");
    const auto second = time->read("2024-10-27T02:00:00");
    const auto later = time->read("2024-10-27T02:30:00");
    const auto after = time->read("2024-10-27T03:00:00");
    EXPECT_EQ((*second - *first).value(), 1.0);
    EXPECT_EQ((*later - *second).value(), 1800.0);
    EXPECT_EQ((*after - *later).value(), 1800.0);
}

TEST(Intake, AMappingFileSaysTheSameAgain) {
    Mapping m = proposed(
        "Datum;Zeit;Strom (mA);Spannung [V]\n26.10.2024;12:00:00;-3785;13,01\n26.10.2024;12:00:01;-3785;13,01\n",
        "Europe/Berlin");
    const auto again = parse_mapping(to_text(m));
    ASSERT_TRUE(again.has_value()) << again.error();
    EXPECT_EQ(to_text(*again), to_text(m));
    EXPECT_EQ(again->current->scale, 0.001);
    EXPECT_FALSE(parse_mapping("delimter = \",\"").has_value());
    EXPECT_FALSE(parse_mapping("time_columns = [\"t\"]").has_value());
}

TEST(Intake, PackedLogsAreUnpacked) {
    std::string text = "time_utc,current_a,voltage_v\n";
    for (int i = 0; i < 50'000; ++i) text += std::to_string(1'700'000'000 + i) + ",-1.25,12.8\n";
    std::vector<char> zst(ZSTD_compressBound(text.size()));
    zst.resize(ZSTD_compress(zst.data(), zst.size(), text.data(), text.size(), 3));
    z_stream z{};
    deflateInit2(&z, 6, Z_DEFLATED, 15 + 16, 8, Z_DEFAULT_STRATEGY);
    std::vector<char> gz(deflateBound(&z, text.size()));
    z.next_in = reinterpret_cast<Bytef*>(text.data());
    z.avail_in = static_cast<uInt>(text.size());
    z.next_out = reinterpret_cast<Bytef*>(gz.data());
    z.avail_out = static_cast<uInt>(gz.size());
    deflate(&z, Z_FINISH);
    gz.resize(z.total_out);
    deflateEnd(&z);

    for (const std::string& packed : {std::string(gz.begin(), gz.end()), std::string(zst.begin(), zst.end()), text}) {
        auto input = unpacked(source::memory_input(packed));
        ASSERT_TRUE(input.has_value());
        auto reader = LogReader::open(std::move(*input), proposed(text.substr(0, 5000)));
        ASSERT_TRUE(reader.has_value());
        EXPECT_EQ(reader->next(100'000)->size(), 50'000U);
        if (packed == text) continue;
        const std::string cut = packed.substr(0, packed.size() / 2);
        auto broken = LogReader::open(*unpacked(source::memory_input(cut)), proposed(text.substr(0, 5000)));
        EXPECT_FALSE(broken && broken->next(100'000)) << "a file that is cut short must be noticed";
    }
}

TEST(Intake, TextOfTwoBytesACharacterIsTakenAsItIs) {
    const std::string text =
        "time,current,voltage\r\n2024-10-26T12:00:00Z,-1.5,12.8\r\n2024-10-26T12:00:01Z,-1.5,12.7\r\n";
    for (const bool big : {false, true}) {
        std::string wide = big ? "\xFE\xFF" : "\xFF\xFE";
        for (const char c : text) (wide += big ? '\0' : c) += big ? c : '\0';
        auto input = unpacked(source::memory_input(wide, 7));
        ASSERT_TRUE(input.has_value()) << input.error().message;
        auto reader = LogReader::open(std::move(*input), proposed(text));
        ASSERT_TRUE(reader.has_value()) << reader.error();
        const auto log = reader->next(10);
        ASSERT_EQ(log->size(), 2U);
        EXPECT_EQ((*log)[1].voltage.value(), 12.7);
    }
    // U+00B0, U+20AC and U+1F50B as UTF-8 has them (the Unicode standard, table 3-6).
    const std::string few("\xFF\xFE\xB0\x00\xAC\x20\x3D\xD8\x0B\xDD", 10);
    auto input = unpacked(source::memory_input(few, 3));
    ASSERT_TRUE(input.has_value());
    std::string got(64, '\0');
    std::size_t size = 0;
    while (const auto more = (*input)->read(std::span(got).subspan(size))) {
        if (*more == 0) break;
        size += *more;
    }
    EXPECT_EQ(got.substr(0, size), "\xC2\xB0\xE2\x82\xAC\xF0\x9F\x94\x8B");
}

TEST(Intake, WhatIsNoLogIsNamed) {
    for (const std::string& begin :
         {std::string("PK\x03\x04zip"), std::string("BZh9"), std::string("SQLite format 3")}) {
        const auto input = unpacked(source::memory_input(begin));
        ASSERT_FALSE(input.has_value()) << begin;
        EXPECT_EQ(input.error().fault, source::SourceFault::not_text);
    }
    EXPECT_NE(unpacked(source::memory_input("PK\x03\x04")).error().message.find("zip archive"), std::string::npos);
}

TEST(Intake, PhysicsJudgesTheSign) {
    SignCheck right;
    SignCheck wrong;
    for (int i = 0; i < 200; ++i) {
        const double ampere = i / 3 % 2 == 0 ? -12.0 : 3.0;
        const Reading r{Instant{i * 1'000'000}, Ampere(ampere), Volt(13.2 + 0.005 * ampere), Celsius(20)};
        right.push(r);
        wrong.push({r.at, -r.current, r.voltage, r.temperature});
    }
    EXPECT_EQ(right.verdict(), SignVerdict::agrees);
    EXPECT_EQ(wrong.verdict(), SignVerdict::reversed);
    EXPECT_EQ(SignCheck{}.verdict(), SignVerdict::unclear);
}

TEST(Intake, WhatCannotBeProposedSaysWhatToDo) {
    for (const char* text :
         {"", "\n\n", "1,2,3\n4,5,6\n", "a,b,c\nx,y,z\n", "time,a1,b1\n2024-01-01T00:00:00Z,1,2\n"}) {
        const auto p = propose(text, System{}, "UTC");
        EXPECT_FALSE(p.has_value()) << text;
    }
}

}  // namespace
}  // namespace amphora::intake

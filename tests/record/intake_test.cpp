#include <fmt/format.h>
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
    const auto p = propose(text, nullptr, zone);
    EXPECT_TRUE(p.has_value()) << (p ? "" : p.error());
    if (p && !p->sure()) ADD_FAILURE() << (p->doubts.empty() ? "not complete" : p->doubts.front());
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
    const auto empty = propose("time,current,voltage\n", nullptr, "UTC");
    ASSERT_TRUE(empty.has_value());
    EXPECT_NE(empty->doubts.at(0).find("no readings"), std::string::npos) << empty->doubts.at(0);
    const auto garbage = propose("\x1b[2J\x01\x02\n\x03\x04\n", nullptr, "UTC");
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
        const auto p = propose(text, nullptr, "UTC");
        EXPECT_FALSE(p && p->sure()) << text;
    }
}

/// A van of 12 V and 200 Ah at work: loads that come and go, 6 mohm, a reading every 10 s.
std::vector<Reading> a_day(double sign = 1.0) {
    std::vector<Reading> log;
    for (int i = 0; i < 2'000; ++i) {
        const double ampere = (i / 7 % 2 == 0 ? -12.5 : 4.25) - (i / 100 % 5 == 0 ? 20.0 : 0.0);
        log.push_back({Instant{1'772'582'400'000'000 + std::int64_t{i} * 10'000'000}, Ampere(sign * ampere),
                       Volt(13.2 + 0.006 * ampere), Celsius(20)});
    }
    return log;
}

/// The day as a log with these names, the figures multiplied and printed with so many decimals.
std::string written(const char* header, double amperes, int current_decimals, double volts, int volt_decimals,
                    double sign = 1.0) {
    std::string text = std::string(header) + "\n";
    for (const Reading& r : a_day(sign))
        text += fmt::format("{},{:.{}f},{:.{}f}\n", r.at.us / 1'000'000, r.current.value() * amperes, current_decimals,
                            r.voltage.value() * volts, volt_decimals);
    return text;
}

System blue_heron() {
    System system;
    system.battery.design_capacity = AmpHour(200);
    return system;
}

std::string all_of(const std::vector<std::string>& texts) { return fmt::format("{}", fmt::join(texts, "; ")); }

TEST(Intake, UnitsAreFoundByNameAndBySize) {
    const System system = blue_heron();
    struct Case {
        const char* header;
        double amperes, volts;
        bool said;
    };
    for (const auto& [header, amperes, volts, said] :
         {Case{"time,current,voltage", 1, 1, false}, Case{"time,current,voltage", 1000, 1000, true},
          Case{"time,I (mA),U (mV)", 1000, 1000, false}, Case{"time_utc,current_a,voltage_v", 1, 1000, true},
          Case{"time,amps,voltage", 1, 100, true}, Case{"time,battery_current_ma,battery_voltage_v", 1000, 1, false}}) {
        const std::string text = written(header, amperes, amperes == 1 ? 2 : 0, volts, volts == 1 ? 3 : 0);
        const auto p = propose(text, &system, "UTC");
        ASSERT_TRUE(p && p->sure()) << header << ": " << (p ? all_of(p->doubts) : p.error());
        EXPECT_EQ(!p->notes.empty(), said) << header << ": " << all_of(p->notes);
        const auto log = read_all(text, p->mapping);
        EXPECT_NEAR(log[0].current.value(), -32.5, 0.01) << header;
        EXPECT_NEAR(log[0].voltage.value(), 13.005, 0.006) << header;
    }
}

TEST(Intake, AStiffBatteryOrAStarterIsNoReasonToThinkOfMilliamperes) {
    System system = blue_heron();
    std::string stiff = "time,current,voltage\n";
    for (const Reading& r : a_day())
        stiff +=
            fmt::format("{},{:.2f},{:.5f}\n", r.at.us / 1'000'000, r.current.value(), 13.2 + 1e-5 * r.current.value());
    const auto p = propose(stiff, &system, "UTC");
    ASSERT_TRUE(p && p->sure()) << all_of(p->doubts);
    EXPECT_EQ(p->mapping.current->scale, 1.0) << all_of(p->notes);
    system.battery.design_capacity = AmpHour(8);  // four times the capacity, in amperes
    const auto starter = propose(written("time,current,voltage", 1, 2, 1, 3), &system, "UTC");
    ASSERT_TRUE(starter && starter->sure()) << all_of(starter->doubts);
    EXPECT_EQ(starter->mapping.current->scale, 1.0) << all_of(starter->notes);
}

TEST(Intake, WithoutADescriptionACellIsABatteryToo) {
    const std::string cell = written("time,current,voltage", 1, 2, 0.25, 3);
    const auto p = propose(cell, nullptr, "UTC");
    ASSERT_TRUE(p && p->sure()) << all_of(p->doubts);
    EXPECT_EQ(p->mapping.voltage->scale, 1.0);
}

TEST(Intake, ABrokenThermometerIsToldAndStopsNothing) {
    std::string text = "time_utc,current_a,voltage_v,temperature_c\n";
    for (int i = 0; i < 10; ++i) text += fmt::format("{},-1.5,12.8,-127\n", 1'729'944'000 + i);
    const auto p = propose(text, nullptr, "UTC");
    ASSERT_TRUE(p && p->sure()) << all_of(p->doubts);
    EXPECT_NE(all_of(p->notes).find("look at the sensor"), std::string::npos) << all_of(p->notes);
}

TEST(Intake, AUnitThatCannotBeToldIsADoubt) {
    const System system = blue_heron();
    // Whole numbers that may be A or mA beside a voltage that never moves; hundredths of volts; a cell; another system.
    std::string quiet = "time,current,voltage\n";
    for (int i = 0; i < 100; ++i) quiet += fmt::format("{},{},13.2\n", 1'772'582'400 + i, i % 2 == 0 ? -120 : 80);
    for (const auto& text :
         {quiet, written("time,current,voltage", 100, 0, 100, 0), written("time,current,voltage", 1, 2, 0.25, 3),
          written("time,current,voltage", 1, 2, 2, 2)}) {
        const auto p = propose(text, &system, "UTC");
        ASSERT_TRUE(p.has_value()) << p.error();
        EXPECT_FALSE(p->sure()) << text.substr(0, 60) << all_of(p->notes);
    }
}

TEST(Intake, TheSignIsTurnedWherePhysicsIsSure) {
    for (const char* header : {"time,current,voltage", "time_utc,current_a,voltage_v"}) {
        const std::string text = written(header, 1, 2, 1, 3, -1.0);
        const auto p = propose(text, nullptr, "UTC");
        ASSERT_TRUE(p && p->sure()) << all_of(p->doubts);
        EXPECT_EQ(p->sign, SignVerdict::reversed);
        EXPECT_NE(all_of(p->notes).find("sign of the current was turned"), std::string::npos) << all_of(p->notes);
        EXPECT_EQ(read_all(text, p->mapping)[0].current.value(), -32.5);
    }
}

TEST(Intake, TheOrderOfDayAndMonthIsThatOfALogWithoutJumps) {
    const auto log_of = [](const char* form, int hours) {
        std::string text = "time,current,voltage\n";
        for (int h = 0; h < hours; ++h) {
            const int day = 3 + h / 24;
            const std::string date =
                std::string(form) == "d" ? fmt::format("{:02}/04/2026", day) : fmt::format("04/{:02}/2026", day);
            text += fmt::format("{} {:02}:00,-1.5,12.8\n", date, h % 24);
        }
        return text;
    };
    // 3 April 2026 00:00 UTC (date -d).
    for (const char* form : {"d", "m"}) {
        const std::string text = log_of(form, 100);
        const auto log = read_all(text, proposed(text));
        ASSERT_EQ(log.size(), 100U);
        EXPECT_EQ(log[0].at.us, 1'775'174'400'000'000) << form;
        EXPECT_EQ(log[99].at.us - log[0].at.us, 99 * 3'600'000'000) << form;
    }
    const auto open = propose(log_of("d", 20), nullptr, "UTC");
    ASSERT_TRUE(open.has_value());
    EXPECT_FALSE(open->sure());
    EXPECT_TRUE(open->order_open);
    EXPECT_NE(all_of(open->doubts).find("%m/%d/%Y"), std::string::npos) << all_of(open->doubts);
}

TEST(Intake, LogsOfManyShapes) {
    struct Shape {
        const char* what;
        std::string text;
        double ampere = -1.5;
        double volt = 12.8;
    };
    const std::vector<Shape> shapes{
        {"units below the header", "time,I,U\n[s],[mA],[mV]\n1729944000,-1500,12800\n1729944001,-1500,12800\n"},
        {"header in two lines",
         "time,Battery,Battery,Solar\n,Voltage,Current,Voltage\n1729944000,12.8,-1.5,30\n1729944001,12.8,-1.5,31\n"},
        {"a comment as header", "# time current voltage\n1729944000 -1.5 12.8\n1729944001 -1.5 12.8\n"},
        {"blanks in columns", "   epoch    amps   volts\n1729944000    -1.5    12.8\n1729944001   -11.5    12.8\n"},
        {"charge and discharge",
         "time,charge current,discharge current,voltage\n1729944000,0,1.5,12.8\n1729944001,2,0,12.8\n"},
        {"a word for the direction",
         "time,current,direction,voltage\n1729944000,1.5,discharging,12.8\n1729944001,2.5,charging,12.8\n"},
        {"power", "time,battery power (W),voltage\n1729944000,-19.2,12.8\n1729944001,20,12.8\n"},
        {"several meters",
         "time,device,current,voltage\n1729944000,battery,-1.5,12.8\n1729944000,solar,3,30\n"
         "1729944001,battery,-1.5,12.8\n1729944001,solar,3,30\n"},
        {"units in the cells", "time,current,voltage\n1729944000,-1500 mA,12.8 V\n1729944001,2 A,12.8 V\n"},
        {"digits in groups",
         "time,current (mA),voltage (mV)\n1729944000,\"-1,500\",\"12,800\"\n1729944001,\"2,000\",\"12,800\"\n"},
        {"days of a spreadsheet", "date,current,voltage\n45591.5,-1.5,12.8\n45591.500694444,-1.5,12.8\n"},
        {"a dash for nothing", "time,current,voltage,temp\n1729944000,-1.5,12.8,--\n1729944001,-1.5,12.8,20\n"},
        {"a typeset minus",
         "time;current;voltage\n1729944000;\xE2\x88\x92"
         "1,5;12,8\n1729944001;1,5;12,8\n"},
        {"a head of the same width",
         "Serial,123456,7\nFirmware,1.2,3\n\ntime,current,voltage\n1729944000,-1.5,12.8\n1729944001,-1.5,12.8\n"},
        {"the same in two units",
         "time,current_a,current_ma,voltage_v\n1729944000,-1.5,-1500,12.8\n1729944001,-1.5,-1500,12.8\n"},
        {"short names", "{\"t\":1729944000,\"v\":12.8,\"i\":-1.5}\n{\"t\":1729944001,\"v\":12.8,\"i\":-1.5}\n"},
        {"other things too",
         "time,starter voltage,solar current,battery voltage,battery current,time to go\n"
         "1729944000,12.6,3,12.8,-1.5,300\n1729944001,12.6,3,12.8,-1.5,300\n"},
        {"nested JSON",
         "{\"t\":{\"time\":1729944000},\"battery\":{\"voltage\":12.8,\"current\":-1.5},\"solar\":{\"voltage\":30}}\n"
         "{\"t\":{\"time\":1729944001},\"battery\":{\"voltage\":12.8,\"current\":-1.5},\"solar\":{\"voltage\":30}}\n"},
        {"a JSON array",
         "[\n{\"time\":1729944000,\"volts\":12.8,\"amps\":-1.5},\n{\"time\":1729944001,\"volts\":12.8,\"amps\":-1.5}\n]"
         "\n"},
    };
    for (const auto& shape : shapes) {
        SCOPED_TRACE(shape.what);
        LogReport report;
        const auto log = read_all(shape.text, proposed(shape.text), &report);
        EXPECT_EQ(report.bad, 0U);
        ASSERT_EQ(log.size(), 2U);
        EXPECT_EQ(log[0].at.us, 1'729'944'000'000'000);
        EXPECT_DOUBLE_EQ(log[0].current.value(), shape.ampere);
        EXPECT_DOUBLE_EQ(log[0].voltage.value(), shape.volt);
    }
}

TEST(Intake, TimesOfAColumnCalledUtcAreInUtc) {
    const std::string rows = ",-1.5,12.8\n2024-07-01 12:01,-1.5,12.8\n";
    const std::string utc = "time_utc,current,voltage\n2024-07-01 12:00" + rows;
    const std::string local = "time,current,voltage\n2024-07-01 12:00" + rows;
    // 1 July 2024 12:00 UTC; Lisbon is an hour ahead then (tz database).
    EXPECT_EQ(read_all(utc, proposed(utc, "Europe/Lisbon"))[0].at.us, 1'719'835'200'000'000);
    EXPECT_EQ(read_all(local, proposed(local, "Europe/Lisbon"))[0].at.us, 1'719'831'600'000'000);
}

TEST(Intake, NamesThatCannotBeWrittenAreNumbers) {
    const std::string text =
        "t,I (A),U (V),T (\xB0"
        "C)\n1729944000,-1.5,12.8,20\n1729944001,-1.5,12.8,20\n";
    const Mapping m = proposed(text);
    const auto again = parse_mapping(to_text(m));
    ASSERT_TRUE(again.has_value()) << again.error();
    EXPECT_EQ(read_all(text, *again)[0].temperature.value(), 20.0);
}

TEST(Intake, WhatIsNotCertainIsADoubtWithWhatToSay) {
    const std::vector<std::pair<std::string, std::string>> logs{
        {"seconds,current,voltage\n0,-1,12.8\n1,-1,12.8\n2,-1,12.8\n", "times"},
        {"time_s,current,voltage\n0,-1,12.8\n1,-1,12.8\n2,-1,12.8\n", "starts_at"},
        {"1729944000,-1.5,12.8\n1729944001,-1.5,12.8\n", "no header"},
        {"time,bank 1 current,bank 2 current,voltage\n1729944000,-1,-8,12.8\n1729944001,-1,-9,12.8\n", "could both"},
        {"time,meter,current,voltage\n1,a,-1,12.8\n1,b,-1,12.8\n2,a,-1,12.8\n2,b,-1,12.8\n", "only = "},
    };
    for (const auto& [text, word] : logs) {
        const auto p = propose(text, nullptr, "UTC");
        ASSERT_TRUE(p.has_value()) << p.error();
        EXPECT_FALSE(p->sure()) << text;
        EXPECT_NE(all_of(p->doubts).find(word), std::string::npos) << all_of(p->doubts);
    }
    Mapping relative;
    relative.time_columns = {"t"};
    relative.time_format = "unix";
    relative.starts_at = "2024-10-26T12:00:00";
    relative.current = ValueColumn{"i"};
    EXPECT_EQ(read_all("t,i\n1.5,2\n", relative)[0].at.us, 1'729'944'001'500'000);
    EXPECT_EQ(parse_mapping(to_text(relative))->starts_at, relative.starts_at);
}

}  // namespace
}  // namespace amphora::intake

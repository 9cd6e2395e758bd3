// Odd but honest logs, as spreadsheets, meters and programs of many countries write them: all say the same.
#include <cctz/time_zone.h>
#include <fmt/format.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <chrono>
#include <cmath>
#include <functional>
#include <stdexcept>

#include "io/intake/log_reader.hpp"
#include "io/intake/proposal.hpp"
#include "io/intake/unpack.hpp"

namespace amphora::intake {
namespace {

struct Point {
    std::int64_t at_s;
    int milliampere;
    int millivolt;
};

/// 200 readings ten seconds apart: loads that come and go, 6 mohm.
std::vector<Point> truth(std::int64_t from_s = 1'777'622'400) {  // 2026-05-01T08:00:00Z
    std::vector<Point> points;
    for (int i = 0; i < 200; ++i) {
        const int ampere = i / 7 % 3 == 0 ? -1'250 - i : i / 7 % 3 == 1 ? 6'500 + 10 * i : -12'000;
        points.push_back({from_s + 10 * i, ampere, 13'200 + ampere * 6 / 1000});
    }
    return points;
}

std::string civil(std::int64_t s, const char* format, const char* zone = "UTC") {
    cctz::time_zone tz;
    cctz::load_time_zone(zone, &tz);
    return cctz::format(format, std::chrono::system_clock::from_time_t(s), tz);
}
std::string iso(const Point& p) { return civil(p.at_s, "%Y-%m-%d %H:%M:%S"); }

std::string with(std::string text, char from, const std::string& to) {
    for (std::size_t at = 0; (at = text.find(from, at)) != std::string::npos; at += to.size()) text.replace(at, 1, to);
    return text;
}
std::string amperes(const Point& p) { return fmt::format("{:.3f}", p.milliampere / 1000.0); }
std::string volts(const Point& p) { return fmt::format("{:.3f}", p.millivolt / 1000.0); }
/// Thousandths with something between the thousands.
std::string in_thousands(int value, const std::string& between) {
    const std::string rest = fmt::format("{:03}", std::abs(value) % 1000);
    return (value < 0 ? "-" : "") + (std::abs(value) < 1000 ? std::to_string(std::abs(value))
                                                            : std::to_string(std::abs(value) / 1000) + between + rest);
}

std::string rows(const std::vector<Point>& points, const std::function<std::string(const Point&)>& row) {
    std::string text;
    for (const Point& p : points) text += row(p) + "\n";
    return text;
}

void expect_read(const std::string& text, const std::vector<Point>& expected, const std::string& zone = "UTC") {
    System system;
    system.battery.design_capacity = AmpHour(200);
    const auto proposal = propose(text, &system, zone);
    ASSERT_TRUE(proposal) << proposal.error();
    EXPECT_TRUE(proposal->sure()) << fmt::format("{}", fmt::join(proposal->doubts, "; "));
    auto reader = LogReader::open(source::memory_input(text, 999), proposal->mapping);
    ASSERT_TRUE(reader) << reader.error();
    auto readings = reader->next(100'000);
    ASSERT_TRUE(readings) << readings.error();
    EXPECT_EQ(reader->report().bad, 0U);
    std::ranges::sort(*readings, {}, &Reading::at);
    ASSERT_EQ(readings->size(), expected.size());
    for (std::size_t i = 0; i < expected.size(); ++i) {
        ASSERT_EQ((*readings)[i].at.us, expected[i].at_s * 1'000'000) << i;
        ASSERT_NEAR((*readings)[i].current.value(), expected[i].milliampere / 1000.0, 1e-9) << i;
        ASSERT_NEAR((*readings)[i].voltage.value(), expected[i].millivolt / 1000.0, 1e-9) << i;
    }
}

TEST(IntakeShapes, DecimalCommasBetweenBlanksAndOtherDelimiters) {
    const auto points = truth();
    const auto comma = [](const std::string& text) { return with(text, '.', ","); };
    for (const char* between : {" ", ";", "\t", "|", "   "}) {
        SCOPED_TRACE(between);
        const std::string b = between;
        expect_read("date" + b + "time" + b + "current" + b + "voltage\n" +
                        rows(points,
                             [&](const Point& p) {
                                 return civil(p.at_s, "%d.%m.%Y") + b + civil(p.at_s, "%H:%M:%S") + b +
                                        comma(amperes(p)) + b + comma(volts(p));
                             }),
                    points);
        expect_read("time" + b + "current" + b + "voltage\n" +
                        rows(points,
                             [&](const Point& p) {
                                 return std::to_string(p.at_s) + b + comma(amperes(p)) + b + comma(volts(p));
                             }),
                    points);
    }
}

TEST(IntakeShapes, ADateAndItsTimeBelowOneNameBetweenBlanks) {
    const auto points = truth();
    for (const char* decimal : {".", ","})
        expect_read("timestamp current voltage\n" + rows(points,
                                                         [&](const Point& p) {
                                                             return iso(p) + " " + with(amperes(p), '.', decimal) +
                                                                    "  " + with(volts(p), '.', decimal);
                                                         }),
                    points);
}

TEST(IntakeShapes, ACommaThatBothPartsAndBeginsDecimalsIsADoubt) {
    const auto text =
        "time,current,voltage\n" + rows(truth(), [](const Point& p) {
            return std::to_string(p.at_s) + "," + with(amperes(p), '.', ",") + "," + with(volts(p), '.', ",");
        });
    const auto proposal = propose(text, nullptr, "UTC");
    EXPECT_FALSE(proposal && proposal->sure());
    const auto points = truth();
    expect_read("time,current,voltage\n" + rows(points,
                                                [](const Point& p) {
                                                    return fmt::format("{},\"{}\",\"{}\"", p.at_s,
                                                                       with(amperes(p), '.', ","),
                                                                       with(volts(p), '.', ","));
                                                }),
                points);
}

TEST(IntakeShapes, WhatStandsBetweenThousands) {
    const auto points = truth();
    for (const char* between : {".", "'", "\xE2\x80\x99", "\xE2\x80\xAF", "\xC2\xA0", " "}) {
        SCOPED_TRACE(between);
        expect_read("time;I (mA);U (mV)\n" + rows(points,
                                                  [&](const Point& p) {
                                                      return iso(p) + ";" + in_thousands(p.milliampere, between) + ";" +
                                                             in_thousands(p.millivolt, between);
                                                  }),
                    points);
    }
    // Points between thousands of one column, decimal commas in the other.
    expect_read("time;I (mA);U (V)\n" + rows(points,
                                             [](const Point& p) {
                                                 return iso(p) + ";" + in_thousands(p.milliampere, ".") + ";" +
                                                        with(volts(p), '.', ",");
                                             }),
                points);
    // Three decimals are no groups where the name says no thousandths, nor where a number begins with 0.
    expect_read(
        "time;I (A);U (V)\n" + rows(points, [](const Point& p) { return iso(p) + ";" + amperes(p) + ";" + volts(p); }),
        points);
}

TEST(IntakeShapes, AHeaderBelowProse) {
    const std::string prose =
        "My battery log\n\nWritten by hand, more or less, since May 1, 2026\nBattery: 200 Ah, 12.8 V, under the bench\n"
        "Note: the meter was swapped on 12.04.2026; before, it read 2,5 % low\n\nsite: 41.15, -8.61\n"
        "Serial: 0012345\nFirmware 1.2.3\n-----\n\nTimes are UTC\n\n";
    const auto points = truth();
    for (const char* b : {",", ";", "\t"}) {
        SCOPED_TRACE(b);
        expect_read(prose + "time" + b + "current_A" + b + "voltage_V" + b + "note\n" +
                        rows(points, [&](const Point& p) { return iso(p) + b + amperes(p) + b + volts(p) + b; }),
                    points);
    }
}

TEST(IntakeShapes, ClocksOfManyKinds) {
    const auto points = truth(1'777'622'400 + 15 * 86'400);  // from the 16th on no day can be a month
    for (const char* format :
         {"%m/%d/%Y,%I:%M:%S %p", "%d/%m/%Y,%H:%M:%S", "%d.%m.%Y,%H:%M:%S", "%Y/%m/%d,%H:%M:%S", "%d-%b-%y,%H:%M:%S"}) {
        SCOPED_TRACE(format);
        expect_read(
            "date,time,amps,volts\n" +
                rows(points, [&](const Point& p) { return civil(p.at_s, format) + "," + amperes(p) + "," + volts(p); }),
            points);
    }
    expect_read(
        "ts,amps,volts\n" +
            rows(points, [](const Point& p) { return fmt::format("{}000,{},{}", p.at_s, amperes(p), volts(p)); }),
        points);
    expect_read(
        "elapsed time of day,UTC date,amps,volts\n" +
            rows(points,
                 [](const Point& p) { return civil(p.at_s, "%H:%M:%S,%Y-%m-%d") + "," + amperes(p) + "," + volts(p); }),
        points);
}

/// Lisbon, 25 October 2026: 01:00 to 02:00 comes twice; 29 March: it does not come at all (tz database).
TEST(IntakeShapes, LocalTimesOverAChangeOfTheClockInEitherDirection) {
    for (const std::int64_t change : {1'792'890'000LL, 1'774'746'000LL}) {
        std::vector<Point> points;
        for (const int offset : {-5'600, -3'600, -1'600, 400, 2'400}) {
            const auto some = truth(change + offset);
            points.insert(points.end(), some.begin(), some.end());
        }
        const auto row = [](const Point& p) {
            return civil(p.at_s, "%Y-%m-%d %H:%M:%S", "Europe/Lisbon") + "," + amperes(p) + "," + volts(p);
        };
        auto backward = points;
        std::ranges::reverse(backward);
        expect_read("local time,current,voltage\n" + rows(points, row), points, "Europe/Lisbon");
        expect_read("local time,current,voltage\n" + rows(backward, row), points, "Europe/Lisbon");
    }
}

TEST(IntakeShapes, WhatAMeterCannotShowIsCountedAndNotBad) {
    std::string text = "time,current,voltage,temp\n";
    int i = 0;
    for (const Point& p : truth()) {
        text += fmt::format("{},{},{},{}\n", p.at_s, i % 10 == 3 ? (i % 20 == 3 ? "OL" : "-O.L") : amperes(p),
                            i % 9 == 4 ? "---" : volts(p), i % 2 == 0 ? "" : "21");
        ++i;
    }
    const auto proposal = propose(text, nullptr, "UTC");
    ASSERT_TRUE(proposal && proposal->sure());
    auto reader = LogReader::open(source::memory_input(text), proposal->mapping);
    const auto readings = reader->next(1'000);
    EXPECT_EQ(readings->size(), 200U);
    EXPECT_EQ(reader->report().bad, 0U);
    EXPECT_EQ(reader->report().beyond, 20U);
    EXPECT_FALSE((*readings)[3].current.known());
    EXPECT_FALSE((*readings)[4].voltage.known());
}

TEST(IntakeShapes, BracketsForWhatIsBelowZero) {
    const auto points = truth();
    expect_read("time,current,voltage\n" +
                    rows(points,
                         [](const Point& p) {
                             const std::string text = amperes(p);
                             return fmt::format("{},{},{}", p.at_s,
                                                p.milliampere < 0 ? "(" + text.substr(1) + ")" : text, volts(p));
                         }),
                points);
}

TEST(IntakeShapes, AColumnOfCurrentsThatAreNoNumbersIsADoubt) {
    const auto text = "time,current,voltage\n" + rows(truth(), [](const Point& p) {
                          return fmt::format("{},~{}~,{}", p.at_s, amperes(p), volts(p));
                      });
    const auto proposal = propose(text, nullptr, "UTC");
    ASSERT_TRUE(proposal);
    EXPECT_FALSE(proposal->sure()) << "the voltage alone must not be taken in as if nothing were missing";
}

TEST(IntakeShapes, ACurrentWithoutItsDirectionIsADoubt) {
    std::vector<Point> points;
    for (int part = 0; part < 5; ++part) {
        const auto some = truth(1'777'622'400 + 2'000 * part);
        points.insert(points.end(), some.begin(), some.end());
    }
    const auto text = [&](bool directed, bool charging_only) {
        return "time,current_a,voltage_v\n" + rows(points, [&](Point p) {
                   if (charging_only) p.millivolt += (std::abs(p.milliampere) - p.milliampere) * 6 / 1000;
                   const std::string size = amperes({p.at_s, directed ? p.milliampere : std::abs(p.milliampere), 0});
                   return fmt::format("{},{},{}", p.at_s, size, volts(p));
               });
    };
    const auto lost = propose(text(false, false), nullptr, "UTC");
    EXPECT_EQ(lost->sign, SignVerdict::undirected);
    EXPECT_FALSE(lost->sure());
    EXPECT_NE(lost->doubts.at(0).find("out_when"), std::string::npos) << lost->doubts[0];
    EXPECT_TRUE(propose(text(true, false), nullptr, "UTC")->sure());
    const auto charging = propose(text(false, true), nullptr, "UTC");
    EXPECT_EQ(charging->sign, SignVerdict::agrees) << "a battery that is only charged is none";
}

std::string opened(const std::string& text) {
    auto input = unpacked(source::memory_input(text, 500));
    if (!input) throw std::runtime_error(input.error().message);
    std::string plain;
    std::array<char, 777> piece{};
    for (std::size_t got = 1; got > 0; plain.append(piece.data(), got)) got = (*input)->read(piece).value();
    return plain;
}

TEST(IntakeShapes, AnArrayOfObjectsHoweverItIsLaidOut) {
    const auto points = truth();
    for (const char* between : {"", "\n", "\n    ", " "}) {
        const std::string b = between;
        std::string text = "[" + b;
        for (const Point& p : points)
            text += fmt::format(
                "{0}{{{1}\"time\":{1}{2},{1}\"note\": \"a \\\"}}, {{ [\", \"bat\": {{\"current\": {3},{1}"
                "\"voltage\": {4}}}{1}}}",
                &p == &points.front() ? "" : "," + b, b, p.at_s, amperes(p), volts(p));
        expect_read(opened(text + b + "]\n"), points);
    }
    EXPECT_EQ(opened("[{\"a\":[1,2,{\"b\":\"\\\\\"}]} , {\"c\":1}]"), "{\"a\":[1,2,{\"b\":\"\\\\\"}]}\n{\"c\":1}\n");
    EXPECT_EQ(opened("[1,2]"), "[1,2]") << "no array of objects";
}

TEST(IntakeShapes, LinesThatEndInACarriageReturnAlone) {
    const auto points = truth();
    std::string text = "time,current,voltage\n" + rows(points, [](const Point& p) {
                           return fmt::format("{},{},{}", p.at_s, amperes(p), volts(p));
                       });
    std::ranges::replace(text, '\n', '\r');
    expect_read(opened(text), points);
}

}  // namespace
}  // namespace amphora::intake

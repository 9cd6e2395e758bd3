#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <fstream>
#include <nlohmann/json.hpp>
#include <sstream>

#include "live/program.hpp"
#include "support/scratch_folder.hpp"

namespace amphora::live {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::Not;
using testing::StartsWith;

const std::string system_file = AMPHORA_SOURCE_DIR "/examples/blue-heron.toml";
constexpr std::int64_t may = 1'777'593'600;  // 2026-05-01 00:00 UTC

// Days of lights in the evening and sun at noon, a reading every so many seconds.
std::string some_days(int days, int step_s = 10) {
    std::ostringstream log;
    log << "time_utc,current_a,voltage_v,temperature_c\n";
    for (std::int64_t s = 0; s < std::int64_t{days} * 86'400; s += step_s) {
        const double hour = static_cast<double>(s % 86'400) / 3600.0;
        const double wavers = static_cast<double>(s / step_s % 7) / 100.0;
        const double current = (hour > 9 && hour < 15 ? 12.0 : 0.0) - (hour > 18 && hour < 23 ? 9.0 : 1.2) - wavers;
        log << may + s << ',' << current << ',' << 13.2 + 0.01 * current << ",18.5\n";
    }
    return log.str();
}

std::vector<std::vector<std::string>> cells_of(const std::string& csv) {
    std::vector<std::vector<std::string>> rows;
    std::istringstream lines(csv);
    for (std::string line; std::getline(lines, line);) {
        rows.emplace_back();
        std::istringstream cells(line);
        for (std::string cell; std::getline(cells, cell, ',');) rows.back().push_back(cell);
    }
    return rows;
}

std::string contents(const std::filesystem::path& path) {
    std::ifstream file(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(file), {}};
}

Ran replay(const std::string& log, std::vector<std::string> more = {}) {
    std::vector<std::string> words{"replay", "--system", system_file, "-"};
    words.insert(words.end(), more.begin(), more.end());
    return run_amphora(words, log);
}

TEST(Replay, ASummaryForAPerson) {
    const auto ran = replay(some_days(3));
    EXPECT_EQ(ran.exit_code, 0) << ran.err;
    EXPECT_THAT(ran.err, IsEmpty());
    EXPECT_THAT(ran.out,
                StartsWith("Blue Heron: 2026-05-01 00:00 to 2026-05-03 23:59 UTC (3.0 days), 25 920 readings\n"));
    for (const auto* part : {"Where it stands at the end\n", " above the reserve of 20 %\n",
                             "last evidence: ", "What was learned\n  the meter reads ", "How wrong it has been",
                             "What was odd\n  nothing\n"})
        EXPECT_THAT(ran.out, HasSubstr(part));
}

TEST(Replay, EstimatesHaveARowEachMinuteAndTheLast) {
    const auto ran = replay(some_days(1, 7), {"--estimates", "-"});
    EXPECT_EQ(ran.exit_code, 0) << ran.err;
    EXPECT_THAT(ran.err, StartsWith("Blue Heron: "));
    const auto rows = cells_of(ran.out);
    ASSERT_EQ(rows.size(), 1 + 1440 + 1U);
    EXPECT_THAT(std::vector(rows[0].begin(), rows[0].begin() + 8),
                ElementsAre("time_utc", "state_of_charge", "state_of_charge_sd", "remaining_ah", "remaining_ah_sd",
                            "time_to_empty_s", "hindsight_state_of_charge", "hindsight_state_of_charge_sd"));
    EXPECT_EQ(rows[1][0], std::to_string(may));
    EXPECT_EQ(rows.back()[0], std::to_string(may + 86'399 - 86'399 % 7));
    double before = 0.0;
    for (std::size_t i = 1; i < rows.size(); ++i) {
        ASSERT_EQ(rows[i].size(), rows[0].size());
        EXPECT_GT(std::stod(rows[i][0]), before);
        before = std::stod(rows[i][0]);
        for (const std::size_t fraction : {1U, 6U}) {
            EXPECT_GE(std::stod(rows[i][fraction]), 0.0);
            EXPECT_LE(std::stod(rows[i][fraction]), 1.0);
        }
    }
}

TEST(Replay, RowsAsOftenAsAsked) {
    EXPECT_EQ(cells_of(replay(some_days(1), {"--estimates", "-", "--every", "3600"}).out).size(), 1 + 24 + 1U);
    EXPECT_EQ(cells_of(replay(some_days(1), {"--estimates", "-", "--every", "10"}).out).size(), 1 + 8640U);
}

TEST(Replay, WithoutHindsightTheRestIsTheSame) {
    const auto with = cells_of(replay(some_days(2), {"--estimates", "-"}).out);
    const auto without = cells_of(replay(some_days(2), {"--estimates", "-", "--no-hindsight"}).out);
    ASSERT_EQ(with.size(), without.size());
    for (std::size_t i = 1; i < with.size(); ++i) {
        EXPECT_THAT(without[i][6], IsEmpty());
        EXPECT_THAT(with[i][6], Not(IsEmpty()));
        auto forward = with[i];
        forward[6].clear();
        forward[7].clear();
        ASSERT_EQ(forward, without[i]) << "row " << i;
    }
}

TEST(Replay, AFileAndAPipeGiveTheSame) {
    const ScratchFolder folder;
    std::ofstream(folder.path() / "log.csv") << some_days(1);
    const auto file = run_amphora({"replay", "--system", system_file, folder.path() / "log.csv", "--json"});
    EXPECT_EQ(file.exit_code, 0) << file.err;
    EXPECT_EQ(file.out, replay(some_days(1), {"--json"}).out);
}

TEST(Replay, JsonForMachines) {
    const auto ran = replay(some_days(3) + "rubbish\n", {"--json"});
    const auto json = nlohmann::json::parse(ran.out);
    EXPECT_EQ(json["system"], "Blue Heron");
    EXPECT_EQ(json["log"]["readings"], 25'920);
    EXPECT_EQ(json["log"]["bad_lines"], 1);
    EXPECT_EQ(json["log"]["first_bad_lines"][0]["line"], 25'922);
    EXPECT_EQ(json["log"]["first"], may);
    EXPECT_EQ(json["oddities"]["gaps"], 0);
    EXPECT_TRUE(json["end"]["state_of_charge"]["sd"].is_number());
    EXPECT_TRUE(json["end"]["time_to_empty_s"].contains("likely"));
    EXPECT_GT(json["forward_against_hindsight"]["moments"], 2800);
    EXPECT_EQ(json["forward_against_hindsight"]["from"], may + 86'400);
    EXPECT_EQ(
        nlohmann::json::parse(replay(some_days(1), {"--json", "--no-hindsight"}).out)["forward_against_hindsight"],
        nullptr);
}

TEST(Replay, BadLinesAreShownAndManyAreWarnedOf) {
    auto log = some_days(1);
    log.insert(log.find('\n') + 1, "one\ntwo,1,2,3\n");
    const auto few = replay(log);
    EXPECT_EQ(few.exit_code, 0);
    EXPECT_THAT(few.err, StartsWith("standard input: 2 of 8 642 lines cannot be read and are left out\nline 2: "));
    EXPECT_THAT(few.err, Not(HasSubstr("Warning")));
    EXPECT_THAT(few.out, HasSubstr("2 lines that cannot be read: left out"));
    for (int i = 0; i < 200; ++i) log += "three\n";
    const auto many = replay(log);
    EXPECT_EQ(many.exit_code, 0);
    EXPECT_THAT(many.err, HasSubstr("\nand 197 bad lines more\nWarning: that is 2 % of the log"));
}

TEST(Replay, OddTimesAreToldInWords) {
    const auto log = std::string("time_utc,current_a,voltage_v\n") +
                     "1777593600,-1,13.2\n1777593610,-1,13.2\n1777593610,-1,13.2\n1777593605,-1,13.2\n"
                     "1777593620,,13.2\n1777593630,-1,nan\n1777597200,-1,13.2\n";
    const auto ran = replay(log);
    for (const auto* part : {"1 gap without readings, 60 min in all", "1 reading with the time of the one before",
                             "1 reading from before the one before", "1 reading without a current",
                             "1 reading without a voltage", "no temperature in the log"})
        EXPECT_THAT(ran.out, HasSubstr(part));
}

TEST(Replay, TheShuntsDropInsteadOfACurrent) {
    const auto amperes = replay("time_utc,current_a,voltage_v\n1777593600,-10,13.2\n1777593700,-10,13.2\n", {"--json"});
    const auto drop = replay("time_utc,shunt_mv,voltage_v\n1777593600,-2.5,13.2\n1777593700,-2.5,13.2\n", {"--json"});
    EXPECT_EQ(nlohmann::json::parse(drop.out)["end"], nlohmann::json::parse(amperes.out)["end"]);
}

TEST(Replay, AChartOfEachKind) {
    const ScratchFolder folder;
    for (const auto* name : {"a.svg", "a.png", "a.pdf"}) {
        const auto ran = replay(some_days(1), {"--plot", folder.path() / name});
        EXPECT_EQ(ran.exit_code, 0) << ran.err;
        EXPECT_GT(std::filesystem::file_size(folder.path() / name), 10'000U);
    }
}

TEST(Replay, OneReadingIsEnough) {
    const ScratchFolder folder;
    const auto ran = replay("time_utc,current_a,voltage_v\n1777593600,-10,13.2",
                            {"--plot", folder.path() / "a.svg", "--estimates", folder.path() / "a.csv"});
    EXPECT_EQ(ran.exit_code, 0) << ran.err;
    EXPECT_EQ(cells_of(contents(folder.path() / "a.csv")).size(), 2U);
}

TEST(Replay, WhatGoesWrongHasItsExitCode) {
    EXPECT_EQ(replay("time_utc,current_a,voltage_v\n").exit_code, 65);
    EXPECT_EQ(replay("time_utc,current_a,voltage_v\nx,y,z\n").exit_code, 65);
    EXPECT_EQ(replay("").exit_code, 65);
    EXPECT_EQ(replay("time_utc,amps\n").exit_code, 65);
    EXPECT_EQ(run_amphora({"replay", "--system", system_file, "/no/such/log.csv"}).exit_code, 66);
    EXPECT_EQ(run_amphora({"replay", "--system", "/no/such/system.toml", "-"}).exit_code, 66);
    EXPECT_EQ(replay(some_days(1), {"--plot", "/no/such/folder/a.svg"}).exit_code, 73);
    EXPECT_EQ(replay(some_days(1), {"--estimates", "/dev/full"}).exit_code, 74);
    EXPECT_EQ(replay(some_days(1), {"--plot", "a.gif"}).exit_code, 64);
    EXPECT_EQ(replay(some_days(1), {"--every", "0"}).exit_code, 64);
    EXPECT_EQ(replay(some_days(1), {"--estimates", "-", "--json"}).exit_code, 64);
    EXPECT_EQ(run_amphora({"replay", "-"}).exit_code, 64);
}

TEST(Replay, AFailureLeavesTheOldFilesAlone) {
    const ScratchFolder folder;
    std::ofstream(folder.path() / "a.csv") << "old";
    EXPECT_EQ(replay("time_utc,current_a,voltage_v\nx,y,z\n", {"--estimates", folder.path() / "a.csv"}).exit_code, 65);
    EXPECT_EQ(contents(folder.path() / "a.csv"), "old");
    EXPECT_EQ(std::distance(std::filesystem::directory_iterator(folder.path()), {}), 1);
}

}  // namespace
}  // namespace amphora::live

// The commands as a person calls them, with logs as they come.
#include <bit>
#include <cstdio>
#include <cstdlib>
#include <fstream>
#include <limits>
#include <nlohmann/json.hpp>
#include <sstream>

#include "io/record/database.hpp"
#include "record_fixture.hpp"

namespace amphora::record {
namespace {

class CommandTest : public RecordTest {
protected:
    struct Said {
        std::string text;  // both outputs
        int code;
    };
    Said amphora(const std::string& arguments) const {
        const std::string command = "cd " + folder_.string() + " && " + AMPHORA_PROGRAM + " " + arguments + " 2>&1";
        std::FILE* pipe = ::popen(command.c_str(), "r");
        std::string text;
        char piece[65536];
        for (std::size_t got = 0; (got = std::fread(piece, 1, sizeof piece, pipe)) > 0;) text.append(piece, got);
        const int status = ::pclose(pipe);
        return {text, WEXITSTATUS(status)};
    }
    void put(const char* name, const std::string& text) const { std::ofstream(folder_ / name) << text; }
    std::string got(const char* name) const {
        std::ifstream in(folder_ / name);
        return {std::istreambuf_iterator<char>(in), {}};
    }
};

TEST_F(CommandTest, WhatIsExportedAndImportedAgainIsTheSameToTheBit) {
    auto log = steady_log(4'000);
    std::mt19937_64 random(5);
    const auto any_double = [&] {
        for (;;) {
            const double v = std::bit_cast<double>(random());
            if (std::isfinite(v) && std::abs(v) < 1e6) return v;
        }
    };
    for (std::size_t i = 0; i < log.size(); ++i) {
        log[i].at.us += static_cast<std::int64_t>(random() % 900'000);
        if (i % 5 == 1) log[i].current = Ampere(any_double());
        if (i % 7 == 1) log[i].voltage = Volt(static_cast<double>(random() % 1'000'000) / 3e5);
        if (i % 11 == 1) log[i].temperature = Celsius::missing();
        if (i % 13 == 1) log[i].current = Ampere(-0.0);
    }
    record(log);
    for (const char* format : {"csv", "jsonl"}) {
        const std::string file = std::string("log.") + format;
        ASSERT_EQ(amphora("export --record van.amphora --format " + std::string(format) + " --output " + file).code, 0);
        const std::string again = std::string("again-") + format + ".amphora";
        const Said said = amphora("import --record " + again + " --yes " + file);
        ASSERT_EQ(said.code, 0) << said.text;
        const auto first = readings();
        file_ = folder_ / again;
        const auto second = readings();
        file_ = folder_ / "van.amphora";
        ASSERT_EQ(first.size(), second.size()) << format;
        for (std::size_t i = 0; i < first.size(); ++i) {
            ASSERT_TRUE(same(first[i], second[i])) << format << ", reading " << i;
            ASSERT_EQ(std::signbit(first[i].current.value()), std::signbit(second[i].current.value()));
        }
    }
}

TEST_F(CommandTest, AMappingThatLeavesNoLineIsRefused) {
    std::string log = "time,sensor,value\n";
    for (int s = 0; s < 20; ++s) log += std::to_string(1'777'622'400 + s) + ",battery_current,-2\n";
    put("log.csv", log);
    put("mapping.toml",
        "time_columns = [\"time\"]\ntime_format = \"unix\"\nseries = { name = \"sensor\", value = \"value\" }\n"
        "current = { column = \"bank_current\" }\n");
    const Said said = amphora("import --record van.amphora --mapping mapping.toml log.csv");
    EXPECT_EQ(said.code, 65);
    EXPECT_NE(said.text.find("names of series"), std::string::npos) << said.text;
    EXPECT_NE(said.text.find("0 readings added"), std::string::npos) << said.text;
}

TEST_F(CommandTest, MoreThanOneBadLineInAHundredStopsTheImport) {
    std::string text = "time_utc,current_a,voltage_v\n";
    for (int i = 0; i < 3'000; ++i)
        text += i % 50 == 7 ? "a line that was cut\n" : std::to_string(1'700'000'000 + i) + ",-1.25,12.8\n";
    put("log.csv", text);
    const Said stopped = amphora("import --record van.amphora --yes log.csv");
    EXPECT_EQ(stopped.code, 65) << stopped.text;
    EXPECT_NE(stopped.text.find("line 9:"), std::string::npos) << stopped.text;
    EXPECT_NE(stopped.text.find("0 readings added"), std::string::npos) << stopped.text;
    const Said taken = amphora("import --record van.amphora --yes --bad-lines-too log.csv");
    EXPECT_EQ(taken.code, 0) << taken.text;
    EXPECT_NE(taken.text.find("60 of 3000 lines cannot be read"), std::string::npos) << taken.text;
    EXPECT_NE(taken.text.find("2940 readings added"), std::string::npos) << taken.text;
}

TEST_F(CommandTest, ASignThatPhysicsDoubtsIsReported) {
    std::string text = "timestamp;amps;volts\n";
    for (int i = 0; i < 2'000; ++i)
        text += std::to_string(1'700'000'000 + i) + (i / 7 % 2 == 0 ? ";30,5;12,61\n" : ";2,5;12,98\n");
    put("log.txt", text);
    const Said said = amphora("import --record van.amphora --yes log.txt");
    ASSERT_EQ(said.code, 0) << said.text;
    EXPECT_NE(said.text.find("sign of the current was turned"), std::string::npos) << said.text;
    EXPECT_EQ(readings().front().current.value(), -30.5);
    put("mapping.toml",
        "delimiter = ';'\ndecimal_comma = true\ntime_columns = ['timestamp']\ntime_format = 'unix'\n"
        "current = { column = 'amps' }\nvoltage = { column = 'volts' }\n");
    const Said as_told = amphora("import --record other.amphora --mapping mapping.toml log.txt");
    EXPECT_EQ(as_told.code, 0) << as_told.text;
    EXPECT_NE(as_told.text.find("Doubt about the sign"), std::string::npos) << as_told.text;
}

TEST_F(CommandTest, NothingIsImportedWithoutAYes) {
    put("log.csv", "time,current,voltage\n2024-10-26T12:00:00Z,-1.5,12.8\n2024-10-26T12:00:01Z,-1.5,12.8\n");
    const Said said = amphora("import --record van.amphora log.csv --save-mapping mapping.toml < /dev/null");
    EXPECT_NE(said.code, 0);
    EXPECT_NE(got("mapping.toml").find("rfc3339"), std::string::npos) << "whoever says no wants to correct it";
    EXPECT_NE(said.text.find("12.800 V"), std::string::npos) << "a preview is shown: " << said.text;
    EXPECT_FALSE(std::filesystem::exists(file_));
    EXPECT_EQ(amphora("import --record van.amphora --yes log.csv").code, 0);
    const Said again = amphora("import --record van.amphora --yes log.csv");
    EXPECT_NE(again.text.find("0 readings added, 2 were there already"), std::string::npos) << again.text;
}

TEST_F(CommandTest, HistoryKnowsDaysOf23And25Hours) {
    // Berlin 2024: 31 March had 23 hours, 27 October 25 (tz database).
    std::filesystem::copy(std::filesystem::path(AMPHORA_SOURCE_DIR) / "examples" / "blue-heron.toml",
                          folder_ / "van.toml");
    std::string system = got("van.toml");
    system.insert(system.find("[system]") + 9, "zone = \"Europe/Berlin\"\n");
    put("van.toml", system);
    const auto berlin = LocalDays::in_zone("Europe/Berlin").value();
    std::string text = "time_utc,current_a,voltage_v\n";
    for (const char* day : {"2024-03-30", "2024-10-26"}) {
        const std::int64_t from = berlin.parse(day).value() / second_us;
        for (std::int64_t t = from; t < from + 3 * 86'400; t += 10) text += std::to_string(t) + ",-2,13.1\n";
    }
    put("log.csv", text);
    ASSERT_EQ(amphora("import --system van.toml --yes log.csv").code, 0);
    const Said said = amphora("history --system van.toml --json");
    ASSERT_EQ(said.code, 0) << said.text;
    const auto days = nlohmann::json::parse(said.text).at("periods");
    ASSERT_GE(days.size(), 6U);
    EXPECT_EQ(days[1]["start"], "2024-03-31");
    EXPECT_NEAR(days[1]["charge_out_ah"].get<double>(), 46.0, 0.01);
    EXPECT_NEAR(days[0]["charge_out_ah"].get<double>(), 48.0, 0.01);
    bool found = false;
    for (const auto& day : days) {
        if (day["start"] != "2024-10-27") continue;
        found = true;
        EXPECT_NEAR(day["charge_out_ah"].get<double>(), 50.0, 0.01);
        EXPECT_TRUE(day["state_of_charge_min"].is_number());
    }
    EXPECT_TRUE(found);
    EXPECT_EQ(nlohmann::json::parse(amphora("history --system van.toml --by month --json").text)["periods"].size(), 3U);
    EXPECT_NE(amphora("history --system van.toml --plot").text.find("----"), std::string::npos);
    EXPECT_EQ(amphora("history --system van.toml --csv --from 2024-10-26 --to 2024-10-27").text.substr(0, 6), "start,");
}

TEST_F(CommandTest, AMomentMayBeGivenInUtcOrWithItsOffset) {
    record(steady_log(100));
    const Said utc = amphora("export --record van.amphora --from 2024-01-01T00:00:10Z --to 2024-01-01T00:00:12Z");
    EXPECT_EQ(std::ranges::count(utc.text, '\n'), 3) << utc.text;
    EXPECT_EQ(amphora("export --record van.amphora --from 2024-01-01T02:00:10+02:00 --to 2024-01-01T00:00:12Z").text,
              utc.text);
    const Said nowhere = amphora("backup --record van.amphora none/copy.amphora");
    EXPECT_NE(nowhere.text.find("none/copy.amphora"), std::string::npos) << nowhere.text;
}

TEST_F(CommandTest, AFailedImportLeavesNoEmptyRecord) {
    put("log.csv", "a,b\n1,2\n");
    put("log.zip", "PK\x03\x04 and so on");
    EXPECT_EQ(amphora("import --record van.amphora --yes log.csv").code, 65);
    EXPECT_EQ(amphora("import --record van.amphora --yes none.csv").code, 66);
    const Said zip = amphora("import --record van.amphora --yes log.zip");
    EXPECT_EQ(zip.code, 65);
    EXPECT_NE(zip.text.find("log.zip: this is a zip archive"), std::string::npos) << zip.text;
    for (const char* part : {"van.amphora", "van.amphora-wal", "van.amphora-shm"})
        EXPECT_FALSE(std::filesystem::exists(folder_ / part)) << part;
    record(steady_log(10));
    EXPECT_EQ(amphora("import --record van.amphora --yes log.csv").code, 65);
    EXPECT_EQ(readings().size(), 10U);
}

/// Whatever lies at the record's place stays there when an import fails: a record that is damaged is worth more than
/// none, and what is no record is somebody else's.
TEST_F(CommandTest, AFailedImportTakesNothingAway) {
    put("good.csv", "time_utc,current_a,voltage_v\n1704067200,1,12.8\n");
    put("letter.txt", "Dear diary");
    EXPECT_EQ(amphora("import --record letter.txt --yes good.csv").code, 65);
    EXPECT_EQ(got("letter.txt"), "Dear diary");
    record(steady_log(10));
    std::string damaged = got("van.amphora");
    damaged.replace(0, 20, 20, 'x');
    put("damaged.amphora", damaged);
    EXPECT_EQ(amphora("import --record damaged.amphora --yes good.csv").code, 65);
    EXPECT_EQ(got("damaged.amphora"), damaged);
    std::filesystem::create_directory(folder_ / "folder.amphora");
    EXPECT_NE(amphora("import --record folder.amphora --yes good.csv").code, 0);
    EXPECT_EQ(amphora("verify --record folder.amphora").code, 65);
    EXPECT_TRUE(std::filesystem::is_directory(folder_ / "folder.amphora"));
}

TEST_F(CommandTest, AnImportThatAddsNothingMakesNoRecord) {
    put("m.toml", "time_columns = [\"time\"]\ncurrent = { column = \"i\" }\n");
    put("empty.csv", "time,i\n");
    put("good.csv", "time,i\n2024-01-01T00:00:00Z,1\n");
    EXPECT_EQ(amphora("import --record van.amphora --mapping m.toml empty.csv").code, 0);
    EXPECT_EQ(amphora("import --record van.amphora --mapping m.toml - < empty.csv").code, 0);
    EXPECT_NE(amphora("import --record van.amphora good.csv < /dev/null").code, 0) << "nobody said yes";
    for (const char* part : {"van.amphora", "van.amphora-wal", "van.amphora-shm"})
        EXPECT_FALSE(std::filesystem::exists(folder_ / part)) << part;
    EXPECT_EQ(amphora("import --record van.amphora --mapping m.toml empty.csv good.csv").code, 0);
    EXPECT_EQ(readings().size(), 1U);
}

/// All currents, then all voltages: from a file, packed, as JSON lines, and from a pipe with its mapping.
TEST_F(CommandTest, ALogThatIsGroupedByQuantityIsPutTogether) {
    std::string csv = "at,name,value\n";
    std::string lines;
    for (const char* name : {"porch_light", "battery_current", "battery_voltage"})
        for (int i = 0; i < 20'000; ++i) {
            const bool load = i / 60 % 2 == 0;
            const char* value = name[0] == 'p' ? "1" : name[8] == 'c' ? (load ? "-5.5" : "2") : load ? "12.7" : "13.1";
            csv += std::to_string(1704067200 + i) + "," + name + "," + value + "\n";
            lines += "{\"t\": " + std::to_string(1704067200 + i) + ", \"name\": \"" + name + "\", \"value\": " + value +
                     "}\n";
        }
    put("log.csv", csv);
    put("log.jsonl", lines);
    ASSERT_EQ(std::system(("gzip -k " + (folder_ / "log.csv").string()).c_str()), 0);
    const Said said = amphora("import --record van.amphora --yes --save-mapping m.toml log.csv");
    ASSERT_EQ(said.code, 0) << said.text;
    EXPECT_NE(said.text.find("20000 readings added"), std::string::npos) << said.text;
    EXPECT_EQ(readings({1704067260 * second_us, 1704067261 * second_us}).at(0).voltage.value(), 13.1);
    for (const char* how : {"--yes log.csv.gz", "--yes log.jsonl", "--mapping m.toml - < log.csv"}) {
        const Said again = amphora(std::string("import --record van.amphora ") + how);
        EXPECT_EQ(again.code, 0) << again.text;
        EXPECT_NE(again.text.find(": 0 readings added, 20000 were there already"), std::string::npos) << again.text;
    }
}

TEST_F(CommandTest, NoOutputIsWrittenOverWhatIsRead) {
    record(steady_log(100));
    put("log.csv", "time_utc,current_a,voltage_v\n1704067200,1,12.8\n");
    EXPECT_EQ(amphora("export --record van.amphora --output van.amphora").code, 64);
    EXPECT_EQ(amphora("export --record van.amphora --output ./van.amphora --by day").code, 64);
    EXPECT_EQ(amphora("import --record van.amphora log.csv --save-mapping log.csv < /dev/null").code, 64);
    EXPECT_EQ(readings().size(), 100U);
    EXPECT_NE(got("log.csv").find("1704067200"), std::string::npos);
    put("kept.csv", "kept");
    EXPECT_EQ(amphora("export --record van.amphora --from yesterday --output kept.csv").code, 64);
    EXPECT_EQ(got("kept.csv"), "kept") << "a question that is refused writes nothing";
}

TEST_F(CommandTest, ATimeWithoutReadingsIsSaidAndIsNoError) {
    record(steady_log(200));
    for (const char* question : {"history --json", "history --by week", "history --by month --csv", "export",
                                 "export --by hour --format jsonl"}) {
        const Said some = amphora(std::string(question) + " --record van.amphora --from 2023-01-01 --to 2023-01-31");
        EXPECT_EQ(some.code, 0) << question;
        EXPECT_NE(some.text.find("from 2024-01-01T00:00:00"), std::string::npos) << question << some.text;
        EXPECT_EQ(amphora(std::string(question) + " --record van.amphora").text.find("no reading in"),
                  std::string::npos);
    }
    const auto none = amphora("history --json --record van.amphora --from 2025-01-01");
    EXPECT_TRUE(nlohmann::json::parse(none.text.substr(none.text.find('{')))["periods"].empty()) << none.text;
    for (const char* bad : {"--from 2024-02-30", "--from 1.5.2024", "--to 2024-01-01T25:00", "--by year",
                            "--json --csv", "--from 2024-01-01T00:00+99:00"}) {
        const Said refused = amphora(std::string("history --record van.amphora ") + bad);
        EXPECT_EQ(refused.code, 64) << bad << refused.text;
    }
}

TEST_F(CommandTest, ASpanRunsForwardAndMomentsNeedNoSeconds) {
    record(steady_log(200));
    const Said backward = amphora("history --record van.amphora --from 2024-02-01 --to 2024-01-01");
    EXPECT_EQ(backward.code, 64);
    EXPECT_NE(backward.text.find("not before"), std::string::npos) << backward.text;
    EXPECT_EQ(amphora("export --record van.amphora --from 2024-01-01 --to 2024-01-01").code, 0) << "a whole day";
    for (const char* moment :
         {"2024-01-01T00:01", "'2024-01-01 00:01'", "2024-01-01T00:01Z", "2024-01-01T01:01+01:00"}) {
        const Said some = amphora(std::string("export --record van.amphora --to ") + moment);
        EXPECT_EQ(std::ranges::count(some.text, '\n'), 61) << moment << some.text;
    }
}

TEST_F(CommandTest, WhatWasNotMeasuredIsADashAndColumnsStayApart) {
    put("log.csv",
        "time_utc,current_a,voltage_v\n1704067200,,12.8\n1704067260,,12.9\n1704153600,-1234.5,12.8\n"
        "1704153660,-1234.5,12.7\n");
    const Said said = amphora("import --record van.amphora log.csv < /dev/null");
    EXPECT_NE(said.text.find("–"), std::string::npos) << said.text;
    EXPECT_EQ(said.text.find("nan"), std::string::npos) << said.text;
    ASSERT_EQ(amphora("import --record van.amphora --yes log.csv").code, 0);
    const Said table = amphora("history --record van.amphora");
    EXPECT_EQ(table.text.find("nan"), std::string::npos) << table.text;
    std::istringstream lines(table.text);
    for (std::string line; std::getline(lines, line);) {
        int columns = 0;
        for (std::size_t at = 0; (at = line.find("  ", at)) != std::string::npos; ++columns)
            at = line.find_first_not_of(' ', at);
        EXPECT_EQ(columns, 9) << line;
    }
    const auto days = nlohmann::json::parse(amphora("history --record van.amphora --json").text)["periods"];
    EXPECT_TRUE(days[0]["charge_in_ah"].is_null()) << days;
    EXPECT_TRUE(days[1]["charge_out_ah"].is_number()) << days;
}

TEST_F(CommandTest, SalvageSaysByItsCodeThatSomethingIsLost) {
    record(steady_log(100'000));
    EXPECT_EQ(amphora("salvage --record van.amphora whole.amphora").code, 0);
    const Said sound = amphora("verify --record whole.amphora");
    EXPECT_NE(sound.text.find("100000 readings in 4 blocks"), std::string::npos) << sound.text;
    Database(file_, Access::write).execute("UPDATE block SET data = zeroblob(length(data)) WHERE id = 2");
    const Said damaged = amphora("verify --record van.amphora");
    EXPECT_EQ(damaged.code, 65);
    EXPECT_EQ(damaged.text.find("amphora verify"), std::string::npos) << damaged.text;
    const Said part = amphora("salvage --record van.amphora part.amphora");
    EXPECT_EQ(part.code, 65);
    EXPECT_NE(part.text.find("rename part.amphora to van.amphora"), std::string::npos) << part.text;
    put("noise.amphora", std::string(20'000, 'x'));
    const Said none = amphora("salvage --record noise.amphora saved.amphora");
    EXPECT_EQ(none.code, 65) << none.text;
    EXPECT_FALSE(std::filesystem::exists(folder_ / "saved.amphora")) << none.text;
    put("few.csv", "time_utc,current_a,voltage_v\n1704067200,1,12.8\n");
    EXPECT_NE(amphora("import --record few.amphora --yes few.csv").text.find("1 reading added, 0 were"),
              std::string::npos);
    EXPECT_NE(amphora("verify --record few.amphora").text.find("1 reading in 1 block\n"), std::string::npos);
}

TEST_F(CommandTest, WhatIsInDoubtIsNotImportedButWrittenDownToBeCorrected) {
    std::string text = "Date;Time;U (V);I (mA);T (F)\n";
    for (int i = 0; i < 60; ++i)
        text += "03/04/2026;10:" + std::string(i < 10 ? "0" : "") + std::to_string(i) + ":00;12,81;-3785;68,0\n";
    put("log.csv", text);
    const Said stopped = amphora("import --record van.amphora --yes log.csv --save-mapping meter.toml");
    EXPECT_EQ(stopped.code, 65) << stopped.text;
    EXPECT_NE(stopped.text.find("--mapping FILE"), std::string::npos) << stopped.text;
    EXPECT_FALSE(std::filesystem::exists(file_));
    std::string mapping = got("meter.toml");
    const auto at = mapping.find("%d/%m/%Y");
    ASSERT_NE(at, std::string::npos) << mapping;
    mapping.replace(at, 8, "%m/%d/%Y");
    put("meter.toml", mapping);
    const Said taken = amphora("import --record van.amphora --mapping meter.toml log.csv");
    ASSERT_EQ(taken.code, 0) << taken.text;
    const auto log = readings();
    ASSERT_EQ(log.size(), 60U);
    EXPECT_EQ(log[0].at.us, 1'772'618'400 * second_us) << "4 March 2026, 10:00 (date -d)";
    EXPECT_EQ(log[0].current.value(), -3.785);
    EXPECT_EQ(log[0].voltage.value(), 12.81);
    EXPECT_NEAR(log[0].temperature.value(), 20.0, 1e-9);
}

TEST_F(CommandTest, MoreOfTheLogMayTellTheOrderOfDayAndMonth) {
    // The first megabytes are of one day; the next one settles it.
    std::string text = "time,current,voltage\n";
    const std::string filler(60, '0');
    for (int i = 0; i < 2 * 86'400; ++i) {
        char line[64];
        std::snprintf(line, sizeof line, "%02d/04/2026 %02d:%02d:%02d,-1.", 3 + i / 86'400, i / 3600 % 24, i / 60 % 60,
                      i % 60);
        text += line + filler + ",12.8\n";
    }
    put("log.csv", text);
    const Said said = amphora("import --record van.amphora --yes log.csv");
    ASSERT_EQ(said.code, 0) << said.text;
    EXPECT_EQ(readings().front().at.us, 1'775'174'400 * second_us) << "3 April 2026";
}

TEST_F(CommandTest, ReplaySaysFirstWhatMakesAWholeLogDoubtful) {
    std::filesystem::copy(std::filesystem::path(AMPHORA_SOURCE_DIR) / "examples" / "blue-heron.toml",
                          folder_ / "van.toml");
    std::string millivolts = "time_utc,current_a,voltage_v\n";
    std::string turned = millivolts;
    for (int i = 0; i < 2'000; ++i) {
        const int ampere = i / 7 % 2 == 0 ? -12 : 4;
        millivolts += std::to_string(1'772'582'400 + i * 10) + "," + std::to_string(ampere) + "," +
                      std::to_string(13'200 + 6 * ampere) + "\n";
        turned += std::to_string(1'772'582'400 + i * 10) + "," + std::to_string(-ampere) + "," +
                  std::to_string(13.2 + 0.006 * ampere) + "\n";
    }
    put("mv.csv", millivolts);
    put("turned.csv", turned);
    const Said mv = amphora("replay --system van.toml mv.csv");
    EXPECT_EQ(mv.text.rfind("Warning: 1 999 values in 2 000 readings were refused", 0), 0U) << mv.text;
    EXPECT_NE(mv.text.find("those are mV"), std::string::npos) << mv.text;
    const Said sign = amphora("replay --system van.toml turned.csv --json");
    EXPECT_NE(nlohmann::json::parse(sign.text)["warnings"].dump().find("wrong sign"), std::string::npos) << sign.text;
}

TEST_F(CommandTest, ThinningSaysWhatItCostsAndDoesNothingWithoutAYes) {
    record(steady_log(70'000));
    const Said asked = amphora("thin --record van.amphora --before 2024-01-02 < /dev/null");
    EXPECT_NE(asked.text.find("70000 readings would become"), std::string::npos) << asked.text;
    EXPECT_EQ(readings().size(), 70'000U);
    const Said done = amphora("thin --record van.amphora --before 2024-01-02 --yes");
    EXPECT_EQ(done.code, 0) << done.text;
    EXPECT_EQ(readings().size(), 1'169U);
    EXPECT_EQ(amphora("verify --record van.amphora").code, 0);
}

}  // namespace
}  // namespace amphora::record

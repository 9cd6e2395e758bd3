// The file format as docs/reference/record.md tells it: the example there is decoded, and an independent reader of the
// format sees what the program sees.
#include <cstdio>
#include <cstdlib>
#include <fstream>
#include <limits>
#include <sstream>

#include "io/record/block_table.hpp"
#include "io/record/merger.hpp"
#include "record_fixture.hpp"

namespace amphora::record {
namespace {

const std::filesystem::path reference = std::filesystem::path(AMPHORA_SOURCE_DIR) / "docs" / "reference";

/// The lines of the fenced block of that kind in the page.
std::vector<std::string> fenced(const std::string& kind) {
    std::ifstream page(reference / "record.md");
    std::vector<std::string> lines;
    std::string line;
    while (std::getline(page, line) && line != "```" + kind) {
    }
    while (std::getline(page, line) && line != "```") lines.push_back(line);
    return lines;
}

std::vector<Reading> example_readings() {
    std::vector<Reading> log;
    for (const auto& line : fenced("csv")) {
        if (line.starts_with("time")) continue;
        std::istringstream cells(line);
        std::string at, current, voltage, temperature;
        std::getline(cells, at, ',');
        std::getline(cells, current, ',');
        std::getline(cells, voltage, ',');
        std::getline(cells, temperature, ',');
        log.push_back({Instant{std::stoll(at) * second_us}, Ampere(std::stod(current)), Volt(std::stod(voltage)),
                       temperature.empty() ? Celsius::missing() : Celsius(std::stod(temperature))});
    }
    return log;
}

std::vector<std::uint8_t> example_block() {
    std::vector<std::uint8_t> bytes;
    for (const auto& line : fenced("block")) {
        std::istringstream words(line.substr(0, line.find('|')));
        for (std::string word; words >> word;)
            bytes.push_back(static_cast<std::uint8_t>(std::stoul(word, nullptr, 16)));
    }
    return bytes;
}

TEST(RecordFormat, TheWorkedExampleIsWhatIsWrittenAndRead) {
    const auto log = example_readings();
    const auto bytes = example_block();
    ASSERT_EQ(log.size(), 6U);
    ASSERT_EQ(bytes.size(), 122U);
    EXPECT_EQ(ledger::encode_block(log), bytes);
    ledger::Columns columns;
    ASSERT_TRUE(ledger::decode_block(bytes, columns).has_value());
    for (std::size_t i = 0; i < log.size(); ++i) EXPECT_TRUE(same(columns.reading(i), log[i])) << "reading " << i;
}

/// What a command prints, and its exit code.
std::pair<std::string, int> run(const std::string& command) {
    std::string text;
    std::FILE* pipe = ::popen(command.c_str(), "r");
    char piece[65536];
    for (std::size_t got = 0; (got = std::fread(piece, 1, sizeof piece, pipe)) > 0;) text.append(piece, got);
    const int status = ::pclose(pipe);
    return {text, WEXITSTATUS(status)};
}

class IndependentReaderTest : public RecordTest {
protected:
    void SetUp() override {
        if (run("python3 -c 'import sqlite3' 2>/dev/null && echo yes").first != "yes\n")
            GTEST_SKIP() << "there is no python3 with sqlite3 here";
    }
    std::pair<std::string, int> independent() {
        return run("python3 " + (reference / "read_record.py").string() + " " + file_.string() + " 2>&1");
    }
    std::string exported() { return run(std::string(AMPHORA_PROGRAM) + " export --record " + file_.string()).first; }
};

/// Every kind of column that there is: steps, noise, jitter, missing values, doubles without a step, numbers that are
/// too wide for the mean.
std::vector<Reading> motley_log(std::int64_t from_us) {
    auto log = steady_log(9'000, from_us, 4);
    std::mt19937_64 random(9);
    for (std::size_t i = 0; i < log.size(); ++i) {
        if (i >= 3'000) log[i].at.us += static_cast<std::int64_t>(random() % 900) * 1000 + 3600 * second_us;
        if (i % 700 == 5) log[i].temperature = Celsius::missing();
        if (i >= 6'000)
            log[i].voltage = Volt(log[i].voltage.value() * 1.000001 + static_cast<double>(random() % 97) / 7e5);
        if (i % 3 == 1) log[i].current = Ampere(static_cast<double>(random() % 4'000'000'000) / 1000.0 - 2e6);
    }
    log[17].voltage = Volt(1e-7);
    return log;
}

TEST_F(IndependentReaderTest, SeesWhatTheProgramExports) {
    must(must(Merger::open(file_, LocalDays::utc())).add(motley_log(new_year_us + 1500 * second_us + 1)));
    Writer w = writer();
    must(w.begin_boot("one", 0, false));
    for (const auto& r : steady_log(5'000, 1'000'000, 2)) must(w.append(r));
    must(w.place_boot(new_year_us + 3'000 * second_us));
    must(w.begin_boot("two", 0, true));
    for (const auto& r : steady_log(4'000, new_year_us + 20'000 * second_us, 3)) must(w.append(r));
    ASSERT_TRUE(std::filesystem::exists(file_.string() + "-tail")) << "the newest readings are to be read too";
    const auto [text, code] = independent();
    EXPECT_EQ(code, 0);
    const std::string ours = exported();
    EXPECT_GT(std::ranges::count(ours, '\n'), 17'900);
    EXPECT_TRUE(text == ours) << text.substr(0, 500);
}

TEST_F(IndependentReaderTest, NamesADamagedBlockAndReadsTheOthers) {
    {
        Writer w = writer();
        must(w.begin_boot("one", 0, true));
        for (const auto& r : steady_log(3'000)) must(w.append(r));
    }
    must(must(Merger::open(file_, LocalDays::utc())).add(steady_log(100, new_year_us + 86400 * second_us)));
    Database(file_, Access::write).execute("UPDATE block SET data = zeroblob(length(data)) WHERE id = 1");
    const auto [text, code] = independent();
    EXPECT_EQ(code, 1);
    EXPECT_NE(text.find("block 1 is damaged"), std::string::npos) << text.substr(0, 200);
    EXPECT_EQ(std::ranges::count(text, '\n'), 102);
}

}  // namespace
}  // namespace amphora::record

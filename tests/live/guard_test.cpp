// amphora guard, draw and commission as a person runs them, on logs.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <nlohmann/json.hpp>

#include "live/program.hpp"
#include "support/scratch_folder.hpp"

namespace amphora::live {
namespace {

using ::testing::HasSubstr;
using Json = nlohmann::ordered_json;
namespace fs = std::filesystem;

std::string text_of(const fs::path& file) {
    std::ifstream in(file);
    return {std::istreambuf_iterator<char>(in), {}};
}

/// A folder with a van in it: the example's description and, where one is written, a log.
class Van {
public:
    Van() { fs::copy_file(AMPHORA_SOURCE_DIR "/examples/blue-heron.toml", folder_.path() / "van.toml"); }
    [[nodiscard]] std::string system() const { return (folder_.path() / "van.toml").string(); }
    [[nodiscard]] fs::path file(const std::string& name) const { return folder_.path() / name; }

    /// A reading each second from 2025-01-10 12:00 UTC.
    template <class Current>
    std::string log(int seconds, Current current, double volts = 12.8) {
        std::ofstream out(file("log.csv"));
        out << "time_utc,current_a,voltage_v,temperature_c\n";
        for (int s = 0; s < seconds; ++s)
            out << 1'736'510'400 + s << ',' << current(s) + 0.02 * std::sin(s * 2.1) << ',' << volts << ",20\n";
        return file("log.csv").string();
    }

private:
    ScratchFolder folder_;
};

std::string at(int second) {
    char text[40];
    std::snprintf(text, sizeof text, "2025-01-10T12:%02d:%02dZ", second / 60, second % 60);
    return text;
}

TEST(GuardCommand, WritesReadyMadeRulesOnceAndKeepsTheRest) {
    const Van van;
    const auto before = text_of(van.system());
    ASSERT_EQ(run_amphora({"guard", "show", "--system", van.system(), "--write"}).exit_code, 0);
    const auto after = text_of(van.system());
    EXPECT_TRUE(after.starts_with(before)) << "comments and order stay";
    EXPECT_THAT(after, HasSubstr("name = \"too cold to charge\""));
    ASSERT_EQ(run_amphora({"guard", "show", "--system", van.system(), "--write"}).exit_code, 0);
    EXPECT_EQ(text_of(van.system()), after) << "nothing twice";
}

TEST(GuardCommand, SaysWhatWouldHaveTripped) {
    Van van;
    ASSERT_EQ(run_amphora({"guard", "show", "--system", van.system(), "--write"}).exit_code, 0);
    const auto log = van.log(600, [](int s) { return s < 100 ? -5.0 : -40.0; }, 11.5);
    const auto ran = run_amphora({"guard", "test", "--system", van.system(), log});
    EXPECT_EQ(ran.exit_code, 0) << ran.err;
    EXPECT_THAT(ran.out, HasSubstr("2025-01-10T12:01:00  battery nearly empty"));
    EXPECT_THAT(ran.out, HasSubstr("never; nearest 20.0 C"));
    const auto json = Json::parse(run_amphora({"guard", "test", "--system", van.system(), log, "--json"}).out);
    ASSERT_EQ(json["trips"].size(), 1U);
    EXPECT_EQ(json["trips"][0]["guard"], "battery nearly empty");
    EXPECT_EQ(json["trips"][0]["at"], 1'736'510'460.0);
    EXPECT_EQ(json["switchings"].back()["relay"], "loads");
    EXPECT_EQ(json["switchings"].back()["on"], false);
}

TEST(GuardCommand, WithoutGuardsItSaysWhereToGetSome) {
    Van van;
    const auto log = van.log(10, [](int) { return -5.0; });
    const auto ran = run_amphora({"guard", "test", "--system", van.system(), log});
    EXPECT_EQ(ran.exit_code, 78);
    EXPECT_THAT(ran.err, HasSubstr("amphora guard show --system"));
    EXPECT_EQ(run_amphora({"guard", "test", "--system", van.system()}).exit_code, 64);
}

TEST(GuardCommand, WithoutGuardsThereIsNothingToAskAfter) {
    const Van van;
    for (const auto& words : {std::vector<std::string>{"guard", "now"}, {"guard", "clear", "low"}}) {
        auto command = words;
        command.insert(command.end(), {"--system", van.system()});
        const auto ran = run_amphora(command);
        EXPECT_EQ(ran.exit_code, 78) << words[1];
        EXPECT_THAT(ran.err, HasSubstr("nothing is watched; `amphora guard show --system")) << words[1];
    }
}

TEST(GuardCommand, SaysWhyEachRelayWouldHaveSwitched) {
    Van van;
    ASSERT_EQ(run_amphora({"guard", "show", "--system", van.system(), "--write"}).exit_code, 0);
    const auto log = van.log(600, [](int s) { return s < 100 ? -5.0 : -40.0; }, 11.5);
    const auto ran = run_amphora({"guard", "test", "--system", van.system(), log});
    EXPECT_THAT(ran.out, HasSubstr("off  \"battery nearly empty\" tripped"));
    const auto json = Json::parse(run_amphora({"guard", "test", "--system", van.system(), log, "--json"}).out);
    EXPECT_EQ(json["switchings"].back()["why"], "tripped");
    EXPECT_EQ(json["switchings"].back()["guard"], "battery nearly empty");
}

TEST(DrawCommand, MeasuresFromALogAndKeepsTheResult) {
    Van van;
    const auto log = van.log(600, [](int s) { return s >= 200 && s < 400 ? -0.8 - 4.1 : -0.8; });
    const auto ran = run_amphora(
        {"draw", "roof fan", "--system", van.system(), "--log", log, "--on", at(200), "--off", at(400), "--write"});
    EXPECT_EQ(ran.exit_code, 0) << ran.err;
    EXPECT_THAT(ran.out, HasSubstr("roof fan: 4.1"));
    EXPECT_THAT(text_of(van.system()), HasSubstr("name = \"roof fan\"\nmeasured_w = 52."));
    EXPECT_THAT(text_of(van.system()), HasSubstr("measured_on = 2025-01-10"));
    EXPECT_EQ(run_amphora({"check", van.system()}).exit_code, 0);
    const auto json = Json::parse(
        run_amphora({"draw", "x", "--system", van.system(), "--log", log, "--on", at(200), "--off", at(400), "--json"})
            .out);
    EXPECT_NEAR(json["draw_a"].get<double>(), 4.1, 0.02);
}

TEST(DrawCommand, BelowResolutionIsSaidAndNotKept) {
    Van van;
    const auto before = text_of(van.system());
    const auto log = van.log(600, [](int) { return -0.8; });
    const auto ran = run_amphora(
        {"draw", "roof fan", "--system", van.system(), "--log", log, "--on", at(200), "--off", at(400), "--write"});
    EXPECT_EQ(ran.exit_code, 65);
    EXPECT_THAT(ran.out, HasSubstr("roof fan: at most 0."));
    EXPECT_THAT(ran.out, HasSubstr("too small for this meter"));
    const auto json = Json::parse(
        run_amphora({"draw", "x", "--system", van.system(), "--log", log, "--on", at(200), "--off", at(400), "--json"})
            .out);
    EXPECT_TRUE(json["draw_a"].is_null());
    EXPECT_TRUE(json["power_w"].is_null());
    EXPECT_GT(json["at_most_a"].get<double>(), 0.0);
    EXPECT_EQ(text_of(van.system()), before);
}

TEST(DrawCommand, WithoutATerminalItSaysWhatElseThereIs) {
    const Van van;
    const auto ran = run_amphora({"draw", "roof fan", "--system", van.system()});
    EXPECT_EQ(ran.exit_code, 64);
    EXPECT_THAT(ran.err, HasSubstr("--log FILE --on TIME --off TIME"));
}

TEST(CommissionCommand, WithoutATerminalItSaysWhatElseThereIs) {
    const Van van;
    const auto ran = run_amphora({"commission", "--system", van.system()});
    EXPECT_EQ(ran.exit_code, 64);
    EXPECT_THAT(ran.err, HasSubstr("--log FILE --script FILE"));
}

TEST(CommissionCommand, ReplaysALogAndWritesItsRecord) {
    Van van;
    const auto log = van.log(700, [](int s) { return s < 60 ? -0.05 : s < 120 ? -5.15 : s < 400 ? 0.01 : -20.2; });
    std::ofstream(van.file("done.txt")) << "# what was done\n"
                                        << at(0) << '\n'
                                        << at(65) << " 65\n"
                                        << at(130) << " n\n"
                                        << at(200) << '\n'
                                        << at(410) << " 20\n"
                                        << at(500) << '\n';
    const auto ran =
        run_amphora({"commission", "--system", van.system(), "--log", log, "--script", van.file("done.txt").string()});
    EXPECT_EQ(ran.exit_code, 0) << ran.err << ran.out;
    const auto record = text_of(van.file("van-commissioning-2025-01-10.md"));
    EXPECT_THAT(record, HasSubstr("| Is the shunt the right way round? | passed | -5.1"));
    EXPECT_THAT(record, HasSubstr("| Does it show the right amount? | passed |"));
    EXPECT_THAT(record, HasSubstr("Commissioning of Blue Heron"));
}

TEST(CommissionCommand, AReversedShuntIsFound) {
    Van van;
    const auto log = van.log(200, [](int s) { return s < 60 ? 0.0 : 5.1; });
    std::ofstream(van.file("done.txt")) << at(0) << '\n' << at(65) << " 65\nskip\nskip\nskip\nskip\n";
    const auto ran = run_amphora(
        {"commission", "--system", van.system(), "--log", log, "--script", van.file("done.txt").string(), "--json"});
    EXPECT_EQ(ran.exit_code, 65);
    const auto json = Json::parse(ran.out);
    EXPECT_EQ(json["sound"], false);
    EXPECT_EQ(json["tests"][0]["result"], "differs");
    EXPECT_THAT(json["tests"][0]["meaning"].get<std::string>(), HasSubstr("exchanged"));
    EXPECT_EQ(json["tests"][4]["result"], "left out");
}

}  // namespace
}  // namespace amphora::live

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <sys/wait.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>

#include "live/program.hpp"

namespace amphora::live {
namespace {

using testing::AllOf;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::Not;

const std::string blue_heron = AMPHORA_SOURCE_DIR "/examples/blue-heron.toml";

// A file that lasts as long as the test.
class Written {
public:
    Written(const std::string& name, const std::string& text) : path_(testing::TempDir() + name) {
        std::ofstream(path_) << text;
    }
    ~Written() { std::filesystem::remove(path_); }
    Written(const Written&) = delete;
    Written& operator=(const Written&) = delete;
    [[nodiscard]] const std::string& path() const { return path_; }

private:
    std::string path_;
};

TEST(Check, SaysWhatItUnderstood) {
    const auto ran = run_amphora({"check", blue_heron});
    EXPECT_EQ(ran.exit_code, 0);
    EXPECT_THAT(ran.err, IsEmpty());
    EXPECT_THAT(ran.out, AllOf(HasSubstr("Blue Heron"), HasSubstr("200 Ah"), HasSubstr("2.56 kWh"), HasSubstr("160 Ah"),
                               HasSubstr("250 µΩ"), HasSubstr("not a certificate")));
    EXPECT_THAT(ran.out, Not(HasSubstr("\033"))) << "no colour where nobody watches";
}

TEST(Check, ColoursOnATerminalUnlessToldNotTo) {
    EXPECT_THAT(show_on_terminal({"check", blue_heron}, false), HasSubstr("\033[1mBlue Heron"));
    EXPECT_THAT(show_on_terminal({"check", blue_heron}, true), AllOf(HasSubstr("Blue Heron"), Not(HasSubstr("\033"))));
}

TEST(Check, SaysWhatItAssumedAndWhy) {
    const Written file("plain.toml", "[battery]\nchemistry = \"agm\"\ndesign_capacity_ah = 100\n");
    const auto ran = run_amphora({"check", file.path()});
    EXPECT_EQ(ran.exit_code, 0);
    EXPECT_THAT(ran.out, AllOf(HasSubstr("Assumed"), HasSubstr("format = 1"), HasSubstr("battery.cells_in_series = 6"),
                               HasSubstr("battery.rated_over_h = 20 h"), HasSubstr("hydrogen")));
}

TEST(Check, ListsSourcesAndTheirChannels) {
    const Written file(
        "sources.toml",
        "[battery]\nchemistry = \"agm\"\ndesign_capacity_ah = 100\n"
        "[[source]]\nname = \"shunt\"\nkind = \"serial\"\nat = \"/dev/ttyUSB0\"\nevery_s = 2\n"
        "[[source.channel]]\nmeasures = \"current\"\nfield = \"i\"\nunit = \"mA\"\n"
        "[[source.channel]]\nmeasures = \"temperature\"\nof = \"probe\"\nwhose = \"shelf\"\nfield = \"t\"\n");
    const auto ran = run_amphora({"check", file.path()});
    EXPECT_EQ(ran.exit_code, 0) << ran.err;
    EXPECT_THAT(ran.out, AllOf(HasSubstr("shunt: serial at /dev/ttyUSB0, every 2 s; silent after 10 s"),
                               HasSubstr("current of the battery, from \"i\" in mA; positive charges"),
                               HasSubstr("temperature at shelf, from \"t\"")));
}

TEST(Check, AsJson) {
    const auto ran = run_amphora({"check", blue_heron, "--json"});
    EXPECT_EQ(ran.exit_code, 0);
    const auto json = nlohmann::json::parse(ran.out);
    EXPECT_EQ(json["valid"], true);
    EXPECT_EQ(json["system"]["battery"]["design_capacity_ah"], 200.0);
}

TEST(Check, NamesEveryMistakeAndEndsWithTheConfigCode) {
    const Written file("wrong.toml", "[battery]\nchemistry = \"lifepo\"\n[[meter]]\nrated_drop_mv = 75\n");
    const auto ran = run_amphora({"check", file.path()});
    EXPECT_EQ(ran.exit_code, 78);
    EXPECT_THAT(ran.out, IsEmpty());
    EXPECT_THAT(ran.err, AllOf(HasSubstr(file.path() + ":1:1: battery.design_capacity_ah: missing"),
                               HasSubstr(file.path() + ":2:13: battery.chemistry: expected one of"),
                               HasSubstr("found \"lifepo\"; did you mean \"lfp\"?"),
                               HasSubstr(file.path() + ":4:17: meter[1].rated_drop_mv: expected")));
}

TEST(Check, MistakesAsJson) {
    const Written file("wrong.toml", "[battery]\nchemistry = \"lfp\"\ndesign_capacity_ah = -1\n");
    const auto ran = run_amphora({"check", "--json", file.path()});
    EXPECT_EQ(ran.exit_code, 78);
    const auto json = nlohmann::json::parse(ran.out);
    EXPECT_EQ(json["valid"], false);
    ASSERT_EQ(json["mistakes"].size(), 1U);
    EXPECT_EQ(json["mistakes"][0]["path"], "battery.design_capacity_ah");
    EXPECT_EQ(json["mistakes"][0]["line"], 3);
    EXPECT_EQ(json["mistakes"][0]["column"], 22);
}

TEST(Check, AMissingFileIsNoInput) {
    const auto ran = run_amphora({"check", "/nowhere/van.toml"});
    EXPECT_EQ(ran.exit_code, 66);
    EXPECT_EQ(ran.err, "/nowhere/van.toml: cannot be opened: No such file or directory\n");
    EXPECT_THAT(ran.out, IsEmpty());
}

TEST(Check, AFolderIsNoInput) { EXPECT_EQ(run_amphora({"check", testing::TempDir()}).exit_code, 66); }

TEST(Check, ReadsStandardInput) {
    const auto ran = run_amphora({"check", "/dev/stdin"}, "[battery]\nchemistry = \"gel\"\ndesign_capacity_ah = 90\n");
    EXPECT_EQ(ran.exit_code, 0);
    EXPECT_THAT(ran.out, HasSubstr("90 Ah of gel lead-acid"));
}

TEST(Check, NeedsAFile) {
    const auto ran = run_amphora({"check"});
    EXPECT_EQ(ran.exit_code, 64);
    EXPECT_THAT(ran.err, HasSubstr("amphora check: a description is required, as in `amphora check system.toml`"));
}

TEST(Check, TakesOneFile) {
    const auto ran = run_amphora({"check", blue_heron, "another.toml"});
    EXPECT_EQ(ran.exit_code, 64);
    EXPECT_THAT(ran.err, HasSubstr("\"another.toml\" is one argument too many"));
}

TEST(Check, ReportsAFullDisk) {
    const auto command = std::string(AMPHORA_PROGRAM) + " check " + blue_heron + " > /dev/full 2> /dev/null";
    EXPECT_EQ(WEXITSTATUS(std::system(command.c_str())), 74);
}

TEST(Check, AMisspeltOptionOrCommandIsSuggested) {
    const auto option = run_amphora({"check", blue_heron, "--jsno"});
    EXPECT_EQ(option.exit_code, 64);
    EXPECT_THAT(option.err, HasSubstr("there is no option \"--jsno\"; did you mean \"--json\"?"));
    const auto command = run_amphora({"chekc", blue_heron});
    EXPECT_EQ(command.exit_code, 64);
    EXPECT_THAT(command.err, HasSubstr("there is no command \"chekc\"; did you mean \"check\"?"));
}

TEST(Check, HelpShowsExamplesBeforeOptions) {
    for (const auto& words : {std::vector<std::string>{"check", "--help"}, {"help", "check"}}) {
        const auto ran = run_amphora(words);
        EXPECT_EQ(ran.exit_code, 0);
        EXPECT_LT(ran.out.find("amphora check van.toml"), ran.out.find("Options:"));
        EXPECT_NE(ran.out.find("Options:"), std::string::npos);
    }
}

TEST(Check, PrintsTheReferenceOfKeys) {
    const auto ran = run_amphora({"check", "--keys"});
    EXPECT_EQ(ran.exit_code, 0);
    EXPECT_THAT(ran.out, HasSubstr("`design_capacity_ah`"));
    EXPECT_EQ(run_amphora({"check", "--keys", blue_heron}).exit_code, 64) << "either, not both";
}

}  // namespace
}  // namespace amphora::live

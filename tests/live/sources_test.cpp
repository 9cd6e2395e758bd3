// amphora sources and amphora listen, as a person starts them.
#include <fmt/format.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <fcntl.h>
#include <sys/wait.h>
#include <unistd.h>

#include <chrono>
#include <csignal>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <sstream>
#include <thread>

#include "live/program.hpp"
#include "support/null_modem.hpp"
#include "support/scratch_folder.hpp"

namespace amphora::live {
namespace {

namespace fs = std::filesystem;
using testing::AllOf;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::Not;

class Sources : public testing::Test {
protected:
    Sources() {
        write("sys/class/hwmon/hwmon0/name", "shunt-adc\n");
        write("sys/class/hwmon/hwmon0/in1_input", "13250\n");
        write("sys/class/hwmon/hwmon0/curr1_input", "-12345\n");
        write("sys/class/hwmon/hwmon1/name", "fan-only\n");
        write("sys/bus/iio/devices/iio:device0/name", "adc\n");
        write("sys/bus/iio/devices/iio:device0/in_temp_input", "21500\n");
        write("sys/class/net/can0/type", "280\n");
        write("sys/class/net/can0/operstate", "down\n");
        write("sys/class/net/eth0/type", "1\n");
        write("dev/ttyUSB0", "");
        write("van.toml",
              fmt::format(
                  "[battery]\nchemistry = \"lfp\"\ndesign_capacity_ah = 200\n[[source]]\nname = \"shunt\"\nkind = "
                  "\"hwmon\"\nat = \"shunt-adc\"\nroot = \"{0}/sys\"\nevery_s = 0.05\n[[source.channel]]\nmeasures "
                  "= \"current\"\nfield = \"curr1_input\"\n[[source.channel]]\nmeasures = \"voltage\"\nfield = "
                  "\"in1_input\"\n[[source]]\nname = \"bus\"\nkind = \"rvc\"\nat = "
                  "\"{0}/bus.log\"\n[[source.channel]]\nmeasures = \"current\"\n",
                  root().string()));
    }
    void write(const fs::path& file, const std::string& text) const {
        fs::create_directories((root() / file).parent_path());
        std::ofstream(root() / file) << text;
    }
    [[nodiscard]] fs::path root() const { return scratch_.path(); }
    [[nodiscard]] std::string description() const { return (root() / "van.toml").string(); }

private:
    ScratchFolder scratch_;
};

TEST_F(Sources, ShowsWhatIsPluggedIn) {
    const auto ran = run_amphora({"sources", "--root", root().string()});
    EXPECT_EQ(ran.exit_code, 0);
    EXPECT_THAT(ran.out, AllOf(HasSubstr("shunt-adc"), HasSubstr("curr1_input -12.345 A, in1_input 13.25 V"),
                               HasSubstr("in_temp_input 21.5 C"), HasSubstr("ttyUSB0"), HasSubstr("can0"),
                               HasSubstr("listen-only on"), Not(HasSubstr("fan-only")), Not(HasSubstr("eth0"))));
}

TEST_F(Sources, ShowsWhichOfItIsUsedAndWhatIsMissing) {
    const auto ran = run_amphora({"sources", description(), "--root", root().string()});
    EXPECT_EQ(ran.exit_code, 0) << ran.err;
    EXPECT_THAT(ran.out, AllOf(HasSubstr("current, voltage"), HasSubstr("every 0.05 s"),
                               HasSubstr("not there: no such file"), HasSubstr("amphora listen shunt --system")));
    const auto json =
        nlohmann::json::parse(run_amphora({"sources", description(), "--root", root().string(), "--json"}).out);
    ASSERT_EQ(json["described"].size(), 2U);
    EXPECT_EQ(json["described"][0]["missing"], "");
    EXPECT_EQ(json["described"][1]["missing"], "no such file");
    EXPECT_EQ(json["found"][0]["at"], "shunt-adc");
    EXPECT_EQ(json["found"][0]["used_by"], "shunt");
    EXPECT_EQ(json["found"][0]["offers"][0]["value"], -12.345);
    EXPECT_TRUE(json["found"][1]["used_by"].is_null());
}

TEST_F(Sources, AnEmptyComputerHasNone) {
    const ScratchFolder nothing;
    const auto ran = run_amphora({"sources", "--root", nothing.path().string()});
    EXPECT_EQ(ran.exit_code, 0);
    EXPECT_THAT(ran.out, HasSubstr("no device of hwmon or IIO"));
}

TEST_F(Sources, ListenShowsReadings) {
    const auto ran = run_amphora({"listen", "shunt", "--system", description(), "--for", "0.5"});
    EXPECT_EQ(ran.exit_code, 0) << ran.err;
    EXPECT_THAT(ran.out, HasSubstr("current -12.345 A  voltage 13.25 V"));
    EXPECT_THAT(ran.err, AllOf(HasSubstr("shunt: "), HasSubstr(" readings, 0 refused, 0 gaps, 0 errors")));
}

TEST_F(Sources, ListenPlaysALogToItsEnd) {
    write("bus.log",
          "(1700000000.0) can0 19FFFD80#0178090139C43577\nnonsense\n(1700000000.1) can0 19FFFD80#01781001E0453577\n");
    const auto ran = run_amphora({"listen", "bus", "--system", description(), "--json"});
    EXPECT_EQ(ran.exit_code, 0) << ran.err;
    std::istringstream lines(ran.out);
    std::vector<nlohmann::json> all;
    for (std::string line; std::getline(lines, line);) all.push_back(nlohmann::json::parse(line));
    ASSERT_GE(all.size(), 3U);
    EXPECT_EQ(all[0]["figures"][0]["value"], -12.345);
    EXPECT_EQ(all[0]["figures"][0]["unit"], "A");
    EXPECT_EQ(all.back()["readings"], 2);
    EXPECT_EQ(all.back()["refused"], 1);
}

TEST_F(Sources, ListenSaysWhatIsWrongAndThatNothingCame) {
    const auto ran = run_amphora({"listen", "bus", "--system", description(), "--for", "0.5"});
    EXPECT_EQ(ran.exit_code, 69);
    EXPECT_THAT(ran.out, IsEmpty());
    EXPECT_THAT(ran.err, AllOf(HasSubstr("bus.log: No such file or directory; tries again"), HasSubstr("0 readings")));
}

// A serial line has one reader: the recorder must not lose a line to someone who looks.
TEST_F(Sources, ListenTakesNothingFromARecorderThatRuns) {
    const NullModem line;
    write("van.toml",
          fmt::format("[system]\nname = \"Blue Heron\"\n[battery]\nchemistry = \"lfp\"\n"
                      "design_capacity_ah = 200\n[[source]]\nname = \"shunt\"\nkind = \"serial\"\nat = \"{}\"\n"
                      "[[source.channel]]\nmeasures = \"current\"\n",
                      line.one()));
    const int meter_end = ::open(line.other().c_str(), O_WRONLY | O_NOCTTY);
    ASSERT_GE(meter_end, 0);
    const pid_t recorder = ::fork();
    if (recorder == 0) {
        ::close(STDERR_FILENO);
        ::execl(AMPHORA_PROGRAM, AMPHORA_PROGRAM, "record", "--system", description().c_str(), nullptr);
        ::_exit(127);
    }
    const auto readings = [&]() -> int {
        const auto ran = run_amphora({"now", "--system", description(), "--json"});
        return ran.exit_code == 0 ? nlohmann::json::parse(ran.out)["sources"][0]["readings"].get<int>() : -1;
    };
    const auto say = [&](int lines) {
        for (int i = 0; i < lines; ++i) {
            const std::string said = "{\"current\": -5.25}\n";
            ASSERT_EQ(::write(meter_end, said.data(), said.size()), static_cast<ssize_t>(said.size()));
            std::this_thread::sleep_for(std::chrono::milliseconds(20));
        }
    };
    for (int i = 0; i < 200 && readings() < 1; ++i) say(2);
    const int before = readings();
    Ran heard;
    {
        const std::jthread meter([&] { say(100); });
        heard = run_amphora({"listen", "shunt", "--system", description(), "--for", "1.5"});
    }
    EXPECT_EQ(heard.exit_code, 0) << heard.err;
    EXPECT_THAT(heard.err, HasSubstr("A recorder runs: shown is what it reads"));
    EXPECT_THAT(heard.out, HasSubstr("  current -5.25 A\n"));
    for (int i = 0; i < 50 && readings() < before + 100; ++i)
        std::this_thread::sleep_for(std::chrono::milliseconds(50));
    EXPECT_EQ(readings(), before + 100);
    ::kill(recorder, SIGTERM);
    ::waitpid(recorder, nullptr, 0);
    ::close(meter_end);
}

TEST_F(Sources, ListenKnowsItsSources) {
    const auto ran = run_amphora({"listen", "shnt", "--system", description()});
    EXPECT_EQ(ran.exit_code, 78);
    EXPECT_THAT(ran.err, HasSubstr("there is no source \"shnt\"; did you mean \"shunt\"?"));
}

}  // namespace
}  // namespace amphora::live

// `amphora record` and `amphora now` as a person runs them.
#include <fcntl.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <chrono>
#include <csignal>
#include <deque>
#include <fstream>
#include <nlohmann/json.hpp>
#include <string>
#include <thread>
#include <vector>

#include "live/program.hpp"
#include "support/http_server.hpp"
#include "support/modbus_peer.hpp"
#include "support/scratch_folder.hpp"

namespace amphora::live {
namespace {

using testing::HasSubstr;

class RecorderProgram : public testing::Test {
protected:
    void SetUp() override {
        describe(
            "[[source]]\nname = \"van\"\nkind = \"twin\"\nevery_s = 0.2\n"
            "[[source.channel]]\nmeasures = \"current\"\n"
            "[[source.channel]]\nmeasures = \"voltage\"\n");
    }
    void TearDown() override {
        if (recorder_ > 0) end(SIGKILL);
    }

    void describe(const std::string& sources) const {
        std::ofstream(file("van.toml")) << "[system]\nname = \"Blue Heron\"\n[battery]\nchemistry = \"lfp\"\n"
                                           "design_capacity_ah = 200\n[live]\ndurability_s = 1\n"
                                        << sources;
    }
    [[nodiscard]] std::string file(const std::string& name) const { return (folder_.path() / name).string(); }

    void start() {
        recorder_ = ::fork();
        if (recorder_ == 0) {
            const int log = ::open(file("log").c_str(), O_WRONLY | O_CREAT | O_APPEND, 0644);
            ::dup2(log, STDERR_FILENO);
            ::execl(AMPHORA_PROGRAM, AMPHORA_PROGRAM, "record", "--system", file("van.toml").c_str(), nullptr);
            ::_exit(127);
        }
    }
    /// The exit code, or the signal that ended it as a negative number.
    int end(int signal) {
        ::kill(recorder_, signal);
        int status = 0;
        ::waitpid(recorder_, &status, 0);
        recorder_ = -1;
        return WIFSIGNALED(status) ? -WTERMSIG(status) : WEXITSTATUS(status);
    }
    /// Asks until so many readings were taken.
    nlohmann::json now_with(std::uint64_t readings) const {
        for (int i = 0; i < 200; ++i) {
            const Ran ran = run_amphora({"now", "--system", file("van.toml"), "--json"});
            if (ran.exit_code == 0) {
                auto now = nlohmann::json::parse(ran.out);
                if (now["record"]["taken"] >= readings) return now;
            }
            std::this_thread::sleep_for(std::chrono::milliseconds(100));
        }
        ADD_FAILURE() << "no readings";
        return {};
    }

    /// How many readings the record has.
    [[nodiscard]] std::uint64_t rows() const {
        const Ran ran = run_amphora({"export", "--record", file("van.amphora")});
        EXPECT_EQ(ran.exit_code, 0) << ran.err;
        return static_cast<std::uint64_t>(std::count(ran.out.begin(), ran.out.end(), '\n')) - 1;
    }

    ScratchFolder folder_;
    pid_t recorder_ = -1;
};

TEST_F(RecorderProgram, MeasuresAnswersAndEndsInGoodOrder) {
    start();
    const auto now = now_with(10);
    EXPECT_EQ(now["system"]["name"], "Blue Heron");
    const Ran said = run_amphora({"now", "--system", file("van.toml")});
    EXPECT_EQ(said.exit_code, 0);
    EXPECT_THAT(said.out, HasSubstr("Blue Heron"));
    EXPECT_THAT(said.out, HasSubstr(" V"));
    EXPECT_EQ(end(SIGTERM), 0);
    const Ran verified = run_amphora({"verify", "--record", file("van.amphora")});
    EXPECT_EQ(verified.exit_code, 0) << verified.err;
    const Ran gone = run_amphora({"now", "--system", file("van.toml")});
    EXPECT_EQ(gone.exit_code, 69);
    EXPECT_THAT(gone.err, HasSubstr("no recorder answers there"));
}

TEST_F(RecorderProgram, AKilledRecorderLosesNoMoreThanTheDurabilityInterval) {
    start();
    const std::uint64_t taken = now_with(30)["record"]["taken"];
    EXPECT_EQ(end(SIGKILL), -SIGKILL);
    // Counted before another run adds readings of its own: what a killed recorder left is in the record and its tail.
    const auto kept = rows();
    EXPECT_GE(kept + 6, taken);  // one second at five a second, and one
    start();
    const std::uint64_t more = now_with(1)["record"]["taken"];
    EXPECT_EQ(end(SIGTERM), 0);
    const Ran count = run_amphora({"verify", "--record", file("van.amphora")});
    EXPECT_EQ(count.exit_code, 0) << count.err << count.out;
    EXPECT_GE(rows(), kept + more) << "and nothing of it is lost by the next run";
}

TEST_F(RecorderProgram, GuardsActBesideIt) {
    describe(
        "[[source]]\nname = \"van\"\nkind = \"twin\"\nevery_s = 0.2\n[[source.channel]]\nmeasures = \"voltage\"\n"
        "[[relay]]\nname = \"loads\"\nkind = \"rehearsal\"\nwhen_blind = \"hold\"\n"
        "[[guard]]\nname = \"low\"\nwatch = \"voltage\"\ntrip_below = 14.9\nclear_above = 15.0\nrelay = \"loads\"\n"
        "run = [\"/usr/bin/touch\", \"" +
        file("acted") + "\"]\n");
    start();
    now_with(5);
    const auto standing = [&] {
        return nlohmann::json::parse(run_amphora({"guard", "now", "--system", file("van.toml"), "--json"}).out);
    };
    EXPECT_EQ(standing()["guards"][0]["phase"], "tripped");
    EXPECT_EQ(standing()["relays"][0]["confirmed"], "off");
    EXPECT_THAT(run_amphora({"now", "--system", file("van.toml")}).out, HasSubstr("guard \"low\" is tripped since "));
    EXPECT_THAT(run_amphora({"guard", "now", "--system", file("van.toml")}).out, HasSubstr(" V   trips when"));
    for (int i = 0; i < 100 && !std::ifstream(file("acted")); ++i)
        std::this_thread::sleep_for(std::chrono::milliseconds(50));
    EXPECT_TRUE(std::ifstream(file("acted")).good());
    const Ran other = run_amphora({"guard", "clear", "high", "--system", file("van.toml")});
    EXPECT_EQ(other.exit_code, 65);
    EXPECT_THAT(other.err, HasSubstr("there is no guard \"high\""));
    EXPECT_EQ(end(SIGTERM), 0);
    EXPECT_TRUE(std::ifstream(file("van.guards")).good()) << "what is tripped is kept over a restart";
    const Ran past = run_amphora({"history", "--system", file("van.toml"), "--guards"});
    EXPECT_EQ(past.exit_code, 0) << past.err;
    EXPECT_THAT(past.out, HasSubstr("tripped: the voltage was 1"));
    EXPECT_THAT(past.out, HasSubstr("ordered off"));
    EXPECT_THAT(past.out, HasSubstr("confirmed off"));
    const auto json =
        nlohmann::json::parse(run_amphora({"history", "--system", file("van.toml"), "--guards", "--json"}).out);
    EXPECT_TRUE(std::ranges::any_of(json["acts"], [](const auto& act) {
        return act["event"] == "confirmed" && act.value("relay", "") == "loads" && act.value("to", "") == "off";
    }));
}

TEST_F(RecorderProgram, WhatAKillKeptFromBeingToldIsToldLateAndOnce) {
    const auto describe_notice = [&](const std::string& url) {
        describe(
            "[[source]]\nname = \"van\"\nkind = \"twin\"\nevery_s = 0.2\n[[source.channel]]\nmeasures = \"voltage\"\n"
            "[[notice]]\nname = \"phone\"\nkind = \"http\"\nto = \"" +
            url +
            "\"\n[[guard]]\nname = \"low\"\nwatch = \"voltage\"\ntrip_below = 14.9\nclear_above = 15.0\n"
            "notices = [\"phone\"]\n");
    };
    const auto wait_for = [](const auto& so) {
        for (int i = 0; i < 200 && !so(); ++i) std::this_thread::sleep_for(std::chrono::milliseconds(50));
        return so();
    };
    const auto untold = [&] {
        std::ifstream in(file("van.guards"));
        std::string newest;
        for (std::string line; std::getline(in, line);) newest = line;
        const auto state = nlohmann::json::parse(newest, nullptr, false);
        return state.is_object() ? state["untold"].size() : std::size_t{99};
    };
    const HttpServer deaf(std::deque<int>(1000, 503));
    describe_notice(deaf.url("/hook"));
    start();
    now_with(1);
    EXPECT_THAT(run_amphora({"now", "--system", file("van.toml")}).out, HasSubstr("1 notice not told yet"));
    ASSERT_TRUE(wait_for([&] { return !deaf.requests().empty() && untold() == 1; }));
    EXPECT_EQ(end(SIGKILL), -SIGKILL);

    const HttpServer server;
    describe_notice(server.url("/hook"));
    start();
    ASSERT_TRUE(wait_for([&] { return !server.requests().empty(); }));
    const auto body = nlohmann::json::parse(server.requests()[0].body);
    EXPECT_EQ(body["late"], true);
    EXPECT_THAT(body["text"].get<std::string>(), HasSubstr("Blue Heron: low tripped at 20"));
    EXPECT_THAT(body["text"].get<std::string>(), HasSubstr(" and is told only now."));
    ASSERT_TRUE(wait_for([&] { return untold() == 0; }));
    EXPECT_EQ(end(SIGKILL), -SIGKILL);

    start();
    now_with(10);
    EXPECT_EQ(end(SIGTERM), 0);
    EXPECT_EQ(server.requests().size(), 1U) << "told once";
}

// The relay's own device kills the recorder in the moment in which it gets the order: nothing that was owed is
// forgotten, and the record says what was done.
TEST_F(RecorderProgram, AKillInTheMomentOfTheOrderForgetsNothing) {
    const HttpServer server;
    ModbusPeer switchboard;
    const auto describe_guard = [&](const std::string& limits) {
        describe(
            "[[source]]\nname = \"van\"\nkind = \"twin\"\nevery_s = 0.2\n[[source.channel]]\nmeasures = \"voltage\"\n"
            "[[relay]]\nname = \"loads\"\nkind = \"modbus\"\nat = \"127.0.0.1:" +
            std::to_string(switchboard.port()) +
            "\"\ncoil = 3\nnormally = \"off\"\nwhen_blind = \"hold\"\n[[notice]]\nname = \"phone\"\nkind = "
            "\"http\"\nto = "
            "\"" +
            server.url("/hook") + "\"\n[[guard]]\nname = \"low\"\nwatch = \"voltage\"\n" + limits +
            "relay = \"loads\"\nnotices = [\"phone\"]\n");
    };
    describe_guard("trip_below = 14.9\nclear_above = 15.0\n");
    start();
    while (!switchboard.coil(3) && ::waitpid(recorder_, nullptr, WNOHANG) == 0) std::this_thread::yield();
    EXPECT_EQ(end(SIGKILL), -SIGKILL);
    std::this_thread::sleep_for(std::chrono::milliseconds(300));
    const std::size_t told_before = server.requests().size();  // the post may have been quicker than the kill

    start();
    now_with(20);
    EXPECT_EQ(end(SIGTERM), 0);
    const auto told = server.requests();
    ASSERT_EQ(told.size(), told_before + 1) << "late, and once";
    EXPECT_EQ(nlohmann::json::parse(told.back().body)["late"], true);
    const auto acts =
        nlohmann::json::parse(run_amphora({"history", "--system", file("van.toml"), "--guards", "--json"}).out)["acts"];
    EXPECT_EQ(std::ranges::count(acts, "tripped", [](const auto& act) { return act["event"]; }), 1);
}

TEST_F(RecorderProgram, SaysWhatIsMissing) {
    describe("");
    const Ran none = run_amphora({"record", "--system", file("van.toml")});
    EXPECT_NE(none.exit_code, 0);
    EXPECT_THAT(none.err, HasSubstr("[[source]]"));
}

}  // namespace
}  // namespace amphora::live

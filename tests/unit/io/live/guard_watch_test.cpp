// The guards beside the recorder, against real peers: Debian's mosquitto, a small HTTP server, programs.
#include "io/live/guard_watch.hpp"

#include <gtest/gtest.h>
#include <signal.h>
#include <spawn.h>
#include <sys/wait.h>
#include <unistd.h>

#include <fstream>
#include <iterator>
#include <nlohmann/json.hpp>
#include <thread>

#include "io/live/mqtt_relay.hpp"
#include "support/guard_events.hpp"
#include "support/http_server.hpp"
#include "support/scratch_folder.hpp"

namespace amphora::live {
namespace {

using namespace std::chrono_literals;
using Json = nlohmann::ordered_json;

/// Trips below 12 V at once, clears at 13 V.
System watched_system() {
    System s;
    s.name = "Blue Heron";
    described::Guard g;
    g.name = "low";
    g.watch = Watched::voltage;
    g.trip_below = Level(12);
    g.clear_above = Level(13);
    g.relay = "loads";
    s.protection.guards = {g};
    s.protection.relays.resize(1);
    s.protection.relays[0].name = "loads";
    s.protection.relays[0].when_blind = described::WhenBlind::off;
    return s;
}

std::string text_of(const std::filesystem::path& file) {
    std::ifstream in(file);
    return {std::istreambuf_iterator<char>(in), {}};
}

template <class Condition>
bool soon(boost::asio::io_context& loop, Condition condition) {
    for (int i = 0; i < 1500 && !condition(); ++i) {
        loop.restart();
        loop.poll();
        std::this_thread::sleep_for(5ms);
    }
    return condition();
}

class Requests {
public:
    explicit Requests(Watch& watch) {
        watch.offer_requests([this](const std::string& name, Request request) { all_[name] = std::move(request); });
    }
    Json ask(const std::string& name, const Json& arguments = Json::object()) { return all_.at(name)(arguments); }

private:
    std::map<std::string, Request> all_;
};

TEST(GuardWatch, SwitchesTellsAndRuns) {
    const ScratchFolder folder;
    const auto horn = folder.path() / "horn";
    HttpServer server;
    System s = watched_system();
    s.protection.notices.resize(1);
    s.protection.notices[0].name = "phone";
    s.protection.notices[0].to = server.url("/hook");
    auto& g = s.protection.guards[0];
    g.notices = {"phone"};
    g.run = {"/bin/sh", "-c", "echo \"$AMPHORA_GUARD $AMPHORA_EVENT $AMPHORA_VALUE\" >> " + horn.string()};
    boost::asio::io_context loop;
    GuardWatch watch(loop, s, {});
    Requests requests(watch);
    watch.look(guard::situation(0, 12.8));
    watch.look(guard::situation(1, 11.5));
    EXPECT_EQ(requests.ask("guards")["relays"][0]["confirmed"], "off");
    EXPECT_EQ(requests.ask("guards")["guards"][0]["phase"], "tripped");
    watch.look(guard::situation(2, 13.2));
    EXPECT_EQ(requests.ask("guards")["relays"][0]["confirmed"], "on");
    ASSERT_TRUE(soon(loop, [&] { return server.requests().size() == 2 && text_of(horn).size() > 20; }));
    const auto first = Json::parse(server.requests()[0].body);
    EXPECT_EQ(first["guard"], "low");
    EXPECT_EQ(first["event"], "tripped");
    EXPECT_EQ(first["value"], 11.5);
    EXPECT_EQ(first["text"], "Blue Heron: low. The voltage is 11.50 V, at worst 11.50 V; it trips below 12.00 V.");
    EXPECT_EQ(Json::parse(server.requests()[1].body)["event"], "cleared");
    EXPECT_EQ(text_of(horn), "low tripped 11.5\nlow cleared 13.2\n");
}

TEST(GuardWatch, WhatIsTrippedOutlastsARestart) {
    const ScratchFolder folder;
    const System s = watched_system();
    const GuardSettings settings{.state = folder.path() / "van.guards"};
    boost::asio::io_context loop;
    {
        GuardWatch watch(loop, s, settings);
        watch.look(guard::situation(0, 11.5));
        ASSERT_TRUE(soon(loop, [&] { return text_of(settings.state).find("low") != std::string::npos; }));
    }
    GuardWatch again(loop, s, settings);
    again.look(guard::situation(0, 12.5));
    EXPECT_EQ(again.guards().relay(0).commanded(), false);
}

TEST(GuardWatch, ADamagedStateFileIsNoObstacle) {
    const ScratchFolder folder;
    const System s = watched_system();
    for (const std::string text : {"", "{", "[1]", "{\"tripped\": 3}", "{\"tripped\": [1, null, \"other\"]}"}) {
        std::ofstream(folder.path() / "state") << text;
        boost::asio::io_context loop;
        GuardWatch watch(loop, s, {.state = folder.path() / "state"});
        watch.look(guard::situation(0, 12.5));
        EXPECT_EQ(watch.guards().relay(0).commanded(), true) << text;
    }
}

TEST(GuardWatch, ClearsByHandOverTheSocket) {
    System s = watched_system();
    s.protection.guards[0].latches = true;
    s.protection.guards[0].clear_above = Level::missing();
    boost::asio::io_context loop;
    GuardWatch watch(loop, s, {});
    Requests requests(watch);
    watch.look(guard::situation(0, 11.5));
    watch.look(guard::situation(1, 14.0));
    EXPECT_EQ(requests.ask("clear_guard", {{"guard", "other"}})["cleared"], false);
    EXPECT_EQ(requests.ask("clear_guard", {{"guard", "low"}})["cleared"], true);
    watch.look(guard::situation(2, 14.0));
    EXPECT_EQ(watch.guards().relay(0).commanded(), true);
}

TEST(GuardWatch, GoesToTheSafeStateAtTheEnd) {
    const System s = watched_system();
    boost::asio::io_context loop;
    GuardWatch watch(loop, s, {});
    Requests requests(watch);
    watch.look(guard::situation(0, 12.8));
    EXPECT_EQ(requests.ask("guards")["relays"][0]["confirmed"], "on");
    watch.end();
    EXPECT_EQ(requests.ask("guards")["relays"][0]["confirmed"], "off");
}

/// Debian's broker on a port of its own; skipped, aloud, where it is not installed.
class Mosquitto {
public:
    Mosquitto() : port_(24'000 + static_cast<int>(getpid() % 8'000)) {
        const std::string file = (folder_.path() / "broker.conf").string();
        std::ofstream(file) << "listener " << port_ << " 127.0.0.1\nallow_anonymous true\nlog_dest none\n";
        std::string program = "/usr/sbin/mosquitto", option = "-c", name = file;
        std::array<char*, 4> argv{program.data(), option.data(), name.data(), nullptr};
        if (posix_spawn(&child_, program.c_str(), nullptr, nullptr, argv.data(), environ) != 0) child_ = -1;
    }
    ~Mosquitto() {
        if (child_ <= 0) return;
        kill(child_, SIGTERM);
        waitpid(child_, nullptr, 0);
    }
    Mosquitto(const Mosquitto&) = delete;
    Mosquitto& operator=(const Mosquitto&) = delete;

    [[nodiscard]] bool runs() const { return child_ > 0; }
    [[nodiscard]] described::Broker address() const {
        described::Broker broker;
        broker.host = "127.0.0.1";
        broker.port = port_;
        return broker;
    }

private:
    ScratchFolder folder_;
    int port_;
    pid_t child_ = -1;
};

TEST(GuardWatch, ARelayAndANoticeOverMqtt) {
    const Mosquitto broker;
    if (!broker.runs()) GTEST_SKIP() << "no /usr/sbin/mosquitto here";
    System s = watched_system();
    s.live.broker = broker.address();
    auto& relay = s.protection.relays[0];
    relay.kind = described::RelayKind::mqtt;
    relay.at = "van/loads/set";
    relay.confirm_topic = "van/loads";
    s.protection.notices.resize(1);
    s.protection.notices[0] = {"board", described::NoticeKind::mqtt, "van/alarm", ""};
    s.protection.guards[0].notices = {"board"};
    boost::asio::io_context loop;

    // The relay's side: obeys, and says so.
    std::vector<std::string> orders;
    std::vector<std::string> alarms;
    BrokerLink other(loop, s.live.broker);
    other.listen("van/loads/set", [&](const std::string& payload) {
        orders.push_back(payload);
        other.send("van/loads", payload);
    });
    other.listen("van/alarm", [&](const std::string& payload) { alarms.push_back(payload); });
    ASSERT_TRUE(soon(loop, [&] { return other.connected(); }));

    GuardWatch watch(loop, s, {});
    Requests requests(watch);
    watch.look(guard::situation(0, 11.5));  // before there is a connection: the order and the notice wait
    ASSERT_TRUE(soon(loop, [&] { return requests.ask("guards")["relays"][0]["confirmed"] == "off"; }));
    EXPECT_EQ(orders.back(), "off");
    ASSERT_TRUE(soon(loop, [&] { return !alarms.empty(); }));
    EXPECT_EQ(Json::parse(alarms[0])["event"], "tripped");
    watch.look(guard::situation(1, 13.5));
    ASSERT_TRUE(soon(loop, [&] { return requests.ask("guards")["relays"][0]["confirmed"] == "on"; }));
    EXPECT_EQ(orders.back(), "on");
}

}  // namespace
}  // namespace amphora::live

// The guards beside the recorder, against real peers: Debian's mosquitto, a small HTTP server, programs.
#include "io/live/guard_watch.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <signal.h>
#include <spawn.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
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

/// The newest version of what outlasts the program: the last line.
Json state_in(const std::filesystem::path& file) {
    std::ifstream in(file);
    std::string newest;
    for (std::string line; std::getline(in, line);) newest = line;
    return Json::parse(newest, nullptr, false);
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
        ASSERT_TRUE(soon(loop, [&] { return state_in(settings.state)["rules"].size() == 1; }));
    }
    GuardWatch again(loop, s, settings);
    again.look(guard::situation(0, 12.5));
    EXPECT_EQ(again.guards().relay(0).commanded(), false);
}

/// The system with a notice by HTTP; settings that keep the state.
class ToldLate : public testing::Test {
protected:
    void SetUp() override {
        system_.protection.notices.resize(1);
        system_.protection.notices[0].name = "phone";
        system_.protection.guards[0].notices = {"phone"};
    }
    void tell(const std::string& url) { system_.protection.notices[0].to = url; }
    /// At that many seconds after 2026-03-01 02:00 UTC.
    static guard::Situation at(double seconds, double volts) {
        guard::Situation s = guard::situation(seconds, volts);
        s.utc = Instant{1'772'330'400'000'000} + Second(seconds);
        return s;
    }
    [[nodiscard]] Json state() const { return state_in(settings_.state); }
    bool untold(std::size_t count) {
        return soon(loop_, [&] { return state()["untold"].size() == count; });
    }

    ScratchFolder folder_;
    System system_ = watched_system();
    GuardSettings settings_{.state = folder_.path() / "van.guards"};
    boost::asio::io_context loop_;
};

TEST_F(ToldLate, WhatAKillCameBefore) {
    const HttpServer deaf(std::deque<int>(1000, 503));
    tell(deaf.url("/hook"));
    {
        GuardWatch watch(loop_, system_, settings_);
        watch.look(at(0, 12.8));
        watch.look(at(600, 11.5));
        ASSERT_TRUE(untold(1));
        ASSERT_TRUE(soon(loop_, [&] { return !deaf.requests().empty(); })) << "it was tried";
    }  // no end(): as by a kill
    const HttpServer server;
    tell(server.url("/hook"));
    {
        GuardWatch again(loop_, system_, settings_);
        again.look(at(3600, 12.5));
        ASSERT_TRUE(soon(loop_, [&] { return server.requests().size() == 1; }));
        const auto body = Json::parse(server.requests()[0].body);
        EXPECT_EQ(body["event"], "tripped");
        EXPECT_EQ(body["late"], true);
        EXPECT_EQ(body["at_us"], 1'772'331'000'000'000);
        EXPECT_EQ(body["text"],
                  "Blue Heron: low tripped at 2026-03-01 02:10 and is told only now. The voltage was 11.50 V, at worst "
                  "11.50 V; it trips below 12.00 V.");
        again.look(at(3601, 12.5));
        ASSERT_TRUE(untold(0));
    }
    GuardWatch third(loop_, system_, settings_);
    third.look(at(3700, 12.5));
    third.look(at(3701, 13.2));  // cleared: this is new
    ASSERT_TRUE(soon(loop_, [&] { return server.requests().size() == 2; }));
    EXPECT_EQ(Json::parse(server.requests()[1].body)["event"], "cleared") << "the trip is not told twice";
}

/// Kills the program in the moment in which it is to act.
class LastStraw : public sink::Relay {
public:
    void order(bool on) override {
        if (!on) ::kill(::getpid(), SIGKILL);
    }
    [[nodiscard]] sink::RelayStanding standing() const override { return {}; }
};

/// The record's stand-in: keeps acts, and says of none that it is safe.
class Book {
public:
    [[nodiscard]] ActBook book() {
        return {.utc = [](BootTime at) { return Instant{1'772'330'400'000'000 + at.us}; },
                .keep =
                    [this](record::GuardAct act, const std::function<void()>& safe) {
                        acts.push_back(std::move(act));
                        if (device_takes_it) safe();
                    }};
    }
    bool device_takes_it = false;
    std::vector<record::GuardAct> acts;
};

TEST_F(ToldLate, NothingIsForgottenByAKillInTheMomentOfTheAct) {
    tell("http://127.0.0.1:1/");  // nobody is there
    GTEST_FLAG_SET(death_test_style, "fast");
    EXPECT_EXIT(
        {
            GuardWatch watch(loop_, system_, settings_);
            watch.replace_relay(0, std::make_unique<LastStraw>());
            Book book;
            watch.keep_acts(book.book());
            watch.look(at(0, 12.8));
            watch.look(at(600, 11.5));
        },
        testing::KilledBySignal(SIGKILL), "");
    const HttpServer server;
    tell(server.url("/hook"));
    Book book;
    GuardWatch again(loop_, system_, settings_);
    again.keep_acts(book.book());
    again.look(at(3600, 12.5));
    EXPECT_EQ(again.guards().relay(0).commanded(), false) << "it is tripped still";
    ASSERT_TRUE(soon(loop_, [&] { return !server.requests().empty(); }));
    EXPECT_THAT(Json::parse(server.requests()[0].body)["text"].get<std::string>(),
                testing::HasSubstr("low tripped at 2026-03-01 02:10 and is told only now."));
    const auto tripped = std::ranges::find(book.acts, "tripped", &record::GuardAct::kind);
    ASSERT_NE(tripped, book.acts.end()) << "the record gets it late";
    EXPECT_EQ(tripped->at_us, 1'772'331'000'000'000);
    EXPECT_EQ(tripped->guard, "low");
    EXPECT_EQ(tripped->value, 11.5);
    EXPECT_FALSE(tripped->of_this_boot);
    std::this_thread::sleep_for(300ms);
    EXPECT_EQ(server.requests().size(), 1U) << "told once";
}

TEST_F(ToldLate, WhatTheRecordHasIsNotKeptBesideIt) {
    tell("http://127.0.0.1:1/");
    Book book;
    GuardWatch watch(loop_, system_, settings_);
    watch.keep_acts(book.book());
    watch.look(at(0, 11.5));
    ASSERT_TRUE(soon(loop_, [&] { return state()["rules"].size() == 1; }));
    EXPECT_EQ(state()["acts"][0]["event"], "tripped");
    const std::size_t unsafe = book.acts.size();
    book.device_takes_it = true;
    watch.look(at(1, 13.5));
    EXPECT_GT(book.acts.size(), unsafe);
    watch.look(at(2, 13.5));
    // As many are safe as were said to be, the oldest first.
    ASSERT_TRUE(soon(loop_, [&] { return state()["acts"].size() == unsafe; }));
}

TEST_F(ToldLate, NotTwiceInTheOrdinaryRun) {
    const HttpServer server;
    tell(server.url("/hook"));
    {
        GuardWatch watch(loop_, system_, settings_);
        watch.look(at(0, 11.5));
        ASSERT_TRUE(soon(loop_, [&] { return server.requests().size() == 1; }));
        EXPECT_EQ(Json::parse(server.requests()[0].body)["late"], false);
        std::this_thread::sleep_for(200ms);  // until it is known that it arrived
        watch.end();
    }
    GuardWatch again(loop_, system_, settings_);
    again.look(at(60, 12.5));
    std::this_thread::sleep_for(300ms);
    EXPECT_EQ(server.requests().size(), 1U);
}

TEST_F(ToldLate, WhatIsRefusedForGoodIsNotToldAgain) {
    const HttpServer server({404});
    tell(server.url("/hook"));
    {
        GuardWatch watch(loop_, system_, settings_);
        watch.look(at(0, 11.5));
        ASSERT_TRUE(soon(loop_, [&] { return server.requests().size() == 1; }));
        std::this_thread::sleep_for(200ms);
        watch.end();
    }
    EXPECT_EQ(state()["untold"], Json::array());
}

TEST_F(ToldLate, QuietHoursOutlastAKillToo) {
    const HttpServer server;
    tell(server.url("/hook"));
    system_.protection.guards[0].quiet = {Hour(0), Hour(3)};
    {
        GuardWatch watch(loop_, system_, settings_);
        watch.look(at(0, 12.8));
        watch.look(at(600, 11.4));
        ASSERT_TRUE(soon(loop_, [&] { return state()["rules"][0]["held_back"] == "trip"; }));
    }
    GuardWatch again(loop_, system_, settings_);
    again.look(at(1800, 11.8));
    std::this_thread::sleep_for(200ms);
    EXPECT_TRUE(server.requests().empty()) << "it is still quiet";
    again.look(at(3601, 11.9));
    ASSERT_TRUE(soon(loop_, [&] { return server.requests().size() == 1; }));
    const auto body = Json::parse(server.requests()[0].body);
    EXPECT_EQ(body["text"],
              "Blue Heron: low. The voltage is 11.90 V, at worst 11.40 V; it trips below 12.00 V. It tripped at "
              "2026-03-01 02:10.");
    EXPECT_EQ(body["worst"], 11.4);
}

TEST_F(ToldLate, OfMuchOnlyTheNewestAndNothingOfLongAgo) {
    const HttpServer server;
    tell(server.url("/hook"));
    const auto word = [](const std::string& text, std::int64_t days_before) {
        return Json{{"notice", "phone"},
                    {"message", {{"text", text}, {"at_us", 1'772'330'400'000'000 - days_before * 86'400'000'000}}},
                    {"late", text}};
    };
    Json untold = Json::array({word("long ago", 8), Json("damaged"), Json{{"notice", 3}}});
    for (int i = 0; i < 30; ++i) untold.push_back(word("number " + std::to_string(i), 1));
    std::ofstream(settings_.state) << Json{{"untold", untold}};
    GuardWatch watch(loop_, system_, settings_);
    watch.look(at(0, 12.8));
    ASSERT_TRUE(soon(loop_, [&] { return server.requests().size() == 20; }));
    std::this_thread::sleep_for(200ms);
    const auto all = server.requests();
    ASSERT_EQ(all.size(), 20U);
    EXPECT_EQ(Json::parse(all[0].body)["text"], "number 10 10 older ones are not told; they are in the record.");
    EXPECT_EQ(Json::parse(all[19].body)["text"], "number 29");
}

TEST(GuardWatch, TheStateOfAnEarlierVersionIsUnderstood) {
    const ScratchFolder folder;
    const System s = watched_system();
    std::ofstream(folder.path() / "state") << "{\"tripped\": [\"low\"]}";
    boost::asio::io_context loop;
    GuardWatch watch(loop, s, {.state = folder.path() / "state"});
    watch.look(guard::situation(0, 12.5));
    EXPECT_EQ(watch.guards().relay(0).commanded(), false);
}

TEST(GuardWatch, ADamagedStateFileIsNoObstacle) {
    const ScratchFolder folder;
    const System s = watched_system();
    for (const std::string text :
         {"", "{", "[1]", "{\"tripped\": 3}", "{\"tripped\": [1, null, \"other\"]}",
          "{\"rules\": [1, {\"guard\": 2}, {\"guard\": \"low\", \"tripped\": 3, \"held_back\": []}]}",
          "{\"untold\": {\"notice\": 1}}", "{\"untold\": [1, {\"message\": {}}]}",
          "{\"acts\": [1, {\"at_us\": \"\"}, {\"at_us\": 1, \"event\": \"tripped\"}]}"}) {
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

TEST(GuardWatch, SaysWhyARuleWaits) {
    System s = watched_system();
    s.protection.guards.push_back(s.protection.guards[0]);
    s.protection.guards[1].name = "charge";
    s.protection.guards[1].watch = Watched::lowest_state_of_charge;
    s.protection.guards[1].trip_below = Level(0.1);
    s.protection.guards[1].clear_above = Level(0.2);
    s.protection.guards[1].relay = "";
    boost::asio::io_context loop;
    GuardWatch watch(loop, s, {});
    Requests requests(watch);
    auto situation = guard::situation(0, 11.5);
    situation.reading_past_since = Instant{1'772'330'405'000'000};  // 2026-03-01 02:00:05 UTC
    watch.look(situation);
    auto guards = requests.ask("guards")["guards"];
    EXPECT_EQ(guards[0]["phase"], "tripped") << "what goes by the voltage does not wait";
    EXPECT_EQ(guards[0]["remark"], "");
    EXPECT_EQ(guards[1]["blind"], true);
    EXPECT_EQ(guards[1]["remark"], "waits for the record to be read, since 02:00:05");
    situation.state_of_charge = {Fraction(0.5), Fraction(0.1)};
    watch.look(situation);
    EXPECT_EQ(requests.ask("guards")["guards"][1]["remark"],
              "goes by the newest days of the record until all of it is read");
    situation.reading_past_since.reset();
    watch.look(situation);
    EXPECT_EQ(requests.ask("guards")["guards"][1]["remark"], "");
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
    // Heard by itself: the broker then knows of what was listened to before as well.
    bool heard = false;
    other.listen("van/echo", [&](const std::string&) { heard = true; });
    ASSERT_TRUE(soon(loop, [&] {
        if (other.connected()) other.send("van/echo", "anyone?");
        return heard;
    }));

    GuardWatch watch(loop, s, {});
    Requests requests(watch);
    watch.look(guard::situation(0, 11.5));  // before there is a connection: the order and the notice wait
    ASSERT_TRUE(soon(loop, [&] { return requests.ask("guards")["relays"][0]["confirmed"] == "off"; }));
    EXPECT_EQ(orders.back(), "off");
    ASSERT_TRUE(soon(loop, [&] { return !alarms.empty(); }));
    EXPECT_EQ(Json::parse(alarms[0])["event"], "tripped");
    EXPECT_TRUE(soon(loop, [&] {
        watch.look(guard::situation(0.5, 11.5));
        return requests.ask("guards")["untold"] == 0;
    })) << "the broker said that it has it";
    watch.look(guard::situation(1, 13.5));
    ASSERT_TRUE(soon(loop, [&] { return requests.ask("guards")["relays"][0]["confirmed"] == "on"; }));
    EXPECT_EQ(orders.back(), "on");
}

}  // namespace
}  // namespace amphora::live

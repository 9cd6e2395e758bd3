#include "io/web/api/now_api.hpp"

#include <limits>

#include "unit/io/web/api/desk_fixture.hpp"

namespace amphora::web {
namespace {

using nlohmann::json;

constexpr double infinite = std::numeric_limits<double>::infinity();

class NowApi : public DeskTest {
protected:
    NowApi() {
        live.now.emplace();
        Estimate& e = live.now->estimate;
        e.at = Instant::from_unix(1'700'000'000);
        e.state_of_charge = {Fraction(0.61804), Fraction(0.024)};
        e.current = Ampere(-4.21049);
        e.to_empty = {Second(3600.4), Second(infinite), Second(infinite)};
    }
};

TEST_F(NowApi, TellsThePresent) {
    const Response response = ask("/api/v1/now");
    EXPECT_EQ(response.type, "application/json");
    const json now = json::parse(response.body.bytes());
    EXPECT_EQ(now["at"], 1'700'000'000.0);
    EXPECT_EQ(now["state_of_charge"]["mean"], 0.618) << "no more digits than anyone can use";
    EXPECT_EQ(now["current_a"], -4.21);
    EXPECT_EQ(now["time_to_empty_s"]["low"], 3600.0);
    EXPECT_EQ(now["time_to_empty_s"]["likely"], nullptr) << "never";
    EXPECT_EQ(now["voltage_v"], nullptr) << "not measured";
    EXPECT_EQ(now["last_full"], nullptr);
    EXPECT_EQ(now["demonstration_speed"], nullptr);
    EXPECT_EQ(now["evidence"]["kind"], "none");
    EXPECT_EQ(now["evidence"]["at"], nullptr);
    EXPECT_EQ(now["beginning"], begin_s);
}

TEST_F(NowApi, TellsSinceWhenItWasFull) {
    live.now->full = SinceFull{Instant::from_unix(5), {.in = AmpHour(12), .out = AmpHour(41)}};
    const json now = json::parse(present_json(desk));
    EXPECT_EQ(now["last_full"], (json{{"at", 5.0}, {"out_since_ah", 41.0}, {"in_since_ah", 12.0}}));
}

TEST_F(NowApi, AnEventIsOneLine) { EXPECT_EQ(present_json(desk).find('\n'), std::string::npos); }

TEST_F(NowApi, WhenNothingIsMeasuredTheRecordSaysHowItEnded) {
    live.now.reset();
    const json now = json::parse(present_json(desk));
    EXPECT_EQ(now["measured"], true);
    EXPECT_EQ(now["at"], begin_s + 3 * 86400 - 10);
    EXPECT_EQ(now["current_a"], -1.0);
    EXPECT_GT(now["age_s"], 86400.0) << "and that it was long ago";
}

class FirstRun : public DeskTest {
protected:
    FirstRun() : DeskTest(false) {}
};

TEST_F(FirstRun, SaysThatNothingIsKnownYet) {
    const json now = json::parse(present_json(desk));
    EXPECT_EQ(now["measured"], false);
    EXPECT_EQ(now["beginning"], nullptr);
    EXPECT_EQ(now["system"]["name"], "Test Boat");
    EXPECT_EQ(ask_json("/api/v1/record")["exists"], false);
    EXPECT_EQ(ask("/api/v1/record/export").status, 404U);
}

}  // namespace
}  // namespace amphora::web

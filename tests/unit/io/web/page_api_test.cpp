#include "io/web/page_api.hpp"

#include <gtest/gtest.h>

#include <limits>
#include <nlohmann/json.hpp>
#include <string>
#include <utility>

#include "io/web/event_channel.hpp"

namespace {

using namespace amphora;
using nlohmann::json;

constexpr double infinite = std::numeric_limits<double>::infinity();

class Invented : public web::PageSource {
public:
    Invented() {
        system_.name = "Blue \"Heron\"\xff";
        Estimate& e = present_.estimate;
        e.at = Instant::from_unix(1'700'000'000);
        e.state_of_charge = {Fraction(0.61804), Fraction(0.024)};
        e.current = Ampere(-4.21049);
        e.to_empty = {Second(3600.4), Second(infinite), Second(infinite)};
    }
    [[nodiscard]] const System& system() const override { return system_; }
    [[nodiscard]] web::Present present() const override { return present_; }
    [[nodiscard]] Instant beginning() const override { return Instant::from_unix(1'600'000'000); }
    [[nodiscard]] std::vector<web::Bucket> series(Instant from, Instant to, int count) const override {
        asked = {from, to, count};
        std::vector<web::Bucket> buckets(static_cast<std::size_t>(count));
        buckets.front().from = from;
        buckets.front().current = Ampere(1.5);
        return buckets;
    }

    web::Present present_;
    struct Asked {
        Instant from, to;
        int count = 0;
    };
    mutable Asked asked;

private:
    System system_;
};

class PageApi : public ::testing::Test {
protected:
    PageApi() { web::add_page_api(routes, source, events); }

    web::Response ask(std::string_view path, std::string_view query = "") {
        return routes.find(web::Method::get, path)->handle({path, web::Query::parse(query).value_or(web::Query{}), {}});
    }

    Invented source;
    web::EventChannel events{"r"};
    web::Routes routes;
};

TEST_F(PageApi, TellsThePresent) {
    const web::Response response = ask("/api/v1/now");
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
}

TEST_F(PageApi, TellsSinceWhenItWasFull) {
    source.present_.full = web::SinceFull{Instant::from_unix(5), {.in = AmpHour(12), .out = AmpHour(41)}};
    const json now = json::parse(web::present_json(source));
    EXPECT_EQ(now["last_full"], (json{{"at", 5.0}, {"out_since_ah", 41.0}, {"in_since_ah", 12.0}}));
}

TEST_F(PageApi, AnEventIsOneLineWhateverTheNames) {
    const std::string text = web::present_json(source);
    EXPECT_EQ(text.find('\n'), std::string::npos);
    EXPECT_EQ(json::parse(text)["system"]["name"], "Blue \"Heron\"\xef\xbf\xbd");
}

TEST_F(PageApi, GivesTheLastDayUnlessAskedOtherwise) {
    ask("/api/v1/series");
    EXPECT_EQ(source.asked.to, Instant::from_unix(1'700'000'000));
    EXPECT_EQ(source.asked.from, Instant::from_unix(1'700'000'000 - 86400));
    EXPECT_EQ(source.asked.count, 288);
}

TEST_F(PageApi, GivesThePastInColumns) {
    const web::Response response = ask("/api/v1/series", "from=100&to=200.5&buckets=2");
    ASSERT_EQ(response.status, 200U);
    const json series = json::parse(response.body.bytes());
    EXPECT_EQ(source.asked.to, Instant::from_unix(200.5));
    EXPECT_EQ(series["current_a"], (json{1.5, nullptr}));
    for (const char* column :
         {"at", "state_of_charge", "state_of_charge_sd", "hindsight_state_of_charge", "hindsight_state_of_charge_sd",
          "current_low_a", "current_high_a", "voltage_v", "in_ah", "out_ah"}) {
        EXPECT_EQ(series[column].size(), 2U) << column;
    }
}

TEST_F(PageApi, RefusesWhatIsNoSpanOfTime) {
    for (const char* query : {"from=x", "from=1&to=1", "from=2&to=1", "buckets=0", "buckets=2001", "buckets=1.5",
                              "from=1e99", "to=-1e99", "from=nan", "to="}) {
        const web::Response response = ask("/api/v1/series", query);
        EXPECT_EQ(response.status, 400U) << query;
        EXPECT_EQ(response.type, "application/problem+json");
    }
}

}  // namespace

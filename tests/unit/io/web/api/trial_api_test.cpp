// Tests that a person is led through on the page: the same steps and the same figures as at the terminal.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>

#include "core/commission/commissioning.hpp"
#include "unit/io/web/api/desk_fixture.hpp"

namespace amphora::web {
namespace {

using testing::HasSubstr;

constexpr double start = 1'780'000'000.0;

class TrialApi : public DeskTest {
protected:
    /// A reading each second up to there, so many amperes out of the battery, with a little noise.
    void flows(double until, double out) {
        for (; seconds_ < until; ++seconds_)
            desk.recent.push({Instant::from_unix(start + seconds_), Ampere(-out + 0.01 * std::sin(seconds_ * 2.1)),
                              Volt(12.8), Celsius(20)});
    }
    nlohmann::json draw(const std::string& more) {
        return ask_json("/api/v1/appliances/draw", "name=roof%20fan" + more);
    }
    static std::string moment(const std::string& key, double seconds) {
        return "&" + key + "=" + std::to_string(start + seconds);
    }
    double seconds_ = 0;
};

TEST_F(TrialApi, ADrawTestFromStepToStep) {
    auto answer = draw("");
    EXPECT_EQ(answer["step"], "off_before");
    EXPECT_EQ(answer["counting"], false);
    EXPECT_THAT(answer["todo"].get<std::string>(), HasSubstr("roof fan"));
    flows(100, 0.8);
    answer = draw(moment("off", 0));
    EXPECT_EQ(answer["counting"], true);
    EXPECT_EQ(answer["ready"], true);
    EXPECT_EQ(answer["readings"], 90) << "the first ten seconds are not counted";
    flows(105, 4.9);
    answer = draw(moment("off", 0) + moment("on", 100));
    EXPECT_EQ(answer["step"], "on");
    EXPECT_EQ(answer["ready"], false);
    EXPECT_EQ(answer["result"], nullptr);
    flows(200, 4.9);
    flows(300, 0.8);
    answer = draw(moment("off", 0) + moment("on", 100) + moment("off_again", 200) + moment("end", 300));
    EXPECT_EQ(answer["step"], "done");
    EXPECT_EQ(answer["result"]["measured"], true);
    EXPECT_NEAR(answer["result"]["draw_a"]["mean"].get<double>(), 4.1, 0.02);
    EXPECT_THAT(answer["result"]["text"].get<std::string>(), HasSubstr("roof fan: 4.1"));
}

TEST_F(TrialApi, ADrawBelowTheMetersResolutionIsNoMeasurement) {
    flows(300, 0.8);
    const auto result =
        draw(moment("off", 0) + moment("on", 100) + moment("off_again", 200) + moment("end", 300))["result"];
    EXPECT_EQ(result["measured"], false);
    EXPECT_EQ(result["draw_a"]["mean"], nullptr);
    EXPECT_GT(result["at_most_a"].get<double>(), 0.0);
    EXPECT_THAT(result["text"].get<std::string>(), HasSubstr("at most 0."));
}

TEST_F(TrialApi, MomentsOutOfOrderAreRefused) {
    EXPECT_EQ(ask("/api/v1/appliances/draw", "off=200&on=100").status, 400U);
    EXPECT_EQ(ask("/api/v1/commissioning/run", "acts=yesterday").status, 400U);
}

TEST_F(TrialApi, ReadingsOfAnEarlierTimeAreForgottenWhenTheClockIsSetBack) {
    flows(10, 1);
    desk.recent.push({Instant::from_unix(start - 3600), Ampere(-1)});
    EXPECT_EQ(desk.recent.readings().size(), 1U);
}

TEST_F(TrialApi, ACommissioningAsAtTheTerminal) {
    const auto run = [&](const std::string& acts) { return ask_json("/api/v1/commissioning/run", "acts=" + acts); };
    const auto act = [](double seconds, const std::string& answer = "") {
        return std::to_string(start + seconds) + answer;
    };
    auto answer = run("");
    EXPECT_EQ(answer["step"]["title"], commission::title_of(commission::Step::direction));
    EXPECT_EQ(answer["step"]["ask"], "nothing");
    flows(60, 0.05);
    answer = run(act(30));
    EXPECT_EQ(answer["step"]["ask"], "watts") << "the first act is measured: the load is asked for";
    flows(70, 5.1);
    answer = run(act(30) + ";" + act(62, ":65"));
    EXPECT_EQ(answer["measuring"], true);
    EXPECT_GT(answer["wait_s"].get<double>(), 5.0);
    flows(100, 5.1);
    answer = run(act(30) + ";" + act(62, ":65"));
    ASSERT_EQ(answer["findings"].size(), 1U);
    EXPECT_EQ(answer["findings"][0]["verdict"], "passed");
    EXPECT_THAT(answer["findings"][0]["seen"].get<std::string>(), HasSubstr("A ±"));
    answer = run(act(30) + ";" + act(62, ":65") + ";skip;skip;skip;" + act(99));
    EXPECT_EQ(answer["step"], nullptr);
    EXPECT_EQ(answer["findings"].size(), 5U);
    EXPECT_EQ(answer["findings"][1]["verdict"], "left out");
}

}  // namespace
}  // namespace amphora::web

// `amphora demo` as a person runs it.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>
#include <string>
#include <utility>
#include <vector>

#include "live/program.hpp"
#include "live/served_page.hpp"
#include "live/web/client.hpp"

namespace amphora::live {
namespace {

using nlohmann::json;
using testing::ContainsRegex;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::MatchesRegex;

const std::vector<std::string> a_week{"--until", "2026-03-07T16:13:00Z", "--years", "0.02"};

class ServedDemo : public ServedPage {
public:
    explicit ServedDemo(std::vector<std::string> words) : ServedPage(whole(std::move(words))) {}

private:
    static std::vector<std::string> whole(std::vector<std::string> words) {
        words.insert(words.begin(), {"demo", "--port", "0"});
        words.insert(words.end(), a_week.begin(), a_week.end());
        return words;
    }
};

TEST(Demo, SaysOnceHowTheVanStands) {
    const auto ran = run_amphora({"demo", "--once", "--until", "2026-03-07T16:13:00Z", "--years", "0.02"});
    EXPECT_EQ(ran.exit_code, 0);
    EXPECT_THAT(ran.out, HasSubstr("Blue Heron"));
    EXPECT_THAT(ran.out, ContainsRegex("2026-03-07 16:1[23] UTC"));
    EXPECT_THAT(ran.out, ContainsRegex("[0-9]+ % ± [0-9]+"));
}

TEST(Demo, IsTheSameForTheSameTime) {
    const std::vector<std::string> words{"demo", "--once", "--until", "2026-03-07T16:13:00Z", "--years", "0.02"};
    EXPECT_EQ(run_amphora(words).out, run_amphora(words).out);
}

TEST(Demo, RefusesWhatMakesNoSense) {
    for (const std::vector<std::string>& words : {std::vector<std::string>{"demo", "--speed", "0"},
                                                  {"demo", "--years", "-1"},
                                                  {"demo", "--until", "tuesday"},
                                                  {"demo", "--port", "70000"}}) {
        const auto ran = run_amphora(words);
        EXPECT_EQ(ran.exit_code, 64) << words[1];
        EXPECT_THAT(ran.out, IsEmpty());
    }
}

TEST(Demo, ServesItsPageAndWhatThePageAsks) {
    ServedDemo demo({"--speed", "600"});
    EXPECT_THAT(demo.said(), MatchesRegex("http://127\\.0\\.0\\.1:[0-9]+/"));
    EXPECT_THAT(demo.ask("/"), HasSubstr("<title>Amphora</title>"));
    const json now = demo.ask_json("/api/v1/now");
    EXPECT_EQ(now["system"]["name"], "Blue Heron");
    EXPECT_EQ(now["demonstration_speed"], 600.0);
    EXPECT_GT(now["state_of_charge"]["sd"], 0.0);
    const json span = demo.ask_json("/api/v1/span");
    EXPECT_GT(span["edges"].size(), 280U);
    EXPECT_TRUE(span["hindsight"][100].is_number());
    EXPECT_EQ(demo.stop(), 0) << "SIGTERM is a clean end";
}

TEST(Demo, LivesOn) {
    const ServedDemo demo({"--speed", "600"});
    const web::live::Client client(demo.port());
    client.send(web::live::get("/api/v1/stream"));
    const std::string got = client.read_until([](std::string_view text) {
        const std::size_t first = text.find("event: now\n");
        return first != std::string_view::npos && text.find("\n\n", text.find("event: now\n", first + 1)) < text.size();
    });
    std::vector<double> moments;
    for (std::size_t at = got.find("data: "); at != std::string::npos; at = got.find("data: ", at + 1)) {
        moments.push_back(json::parse(got.substr(at + 6, got.find('\n', at) - at - 6))["at"]);
    }
    ASSERT_GE(moments.size(), 2U);
    EXPECT_GT(moments[1], moments[0]);
}

TEST(Demo, APortThatIsTakenIsSaid) {
    const ServedDemo demo({});
    const auto ran = run_amphora(
        {"demo", "--port", std::to_string(demo.port()), "--until", "2026-03-07T16:13:00Z", "--years", "0.01"});
    EXPECT_EQ(ran.exit_code, 69);
    EXPECT_THAT(ran.err, HasSubstr("Choose another port"));
}

}  // namespace
}  // namespace amphora::live

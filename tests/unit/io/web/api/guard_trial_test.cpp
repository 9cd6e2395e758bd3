#include "io/web/api/guard_trial.hpp"

#include <fstream>

#include "support/json_schema.hpp"
#include "unit/io/web/api/desk_fixture.hpp"

namespace amphora::web {
namespace {

using nlohmann::json;

class GuardTrialApi : public DeskTest {
protected:
    void describe_guard(const std::string& rule) {
        std::ofstream(description.file()) << described << "[[guard]]\nname = \"low\"\nrun = [\"/bin/true\"]\n" << rule;
    }
    Response replay(double from, double to) { return send("/api/v1/guards/replay", json{{"from", from}, {"to", to}}); }
};

TEST_F(GuardTrialApi, SaysWhatWouldHaveTripped) {
    describe_guard("watch = \"voltage\"\ntrip_below = 13.2\ntrip_after_s = 60\nclear_above = 13.5\n");
    ASSERT_EQ(replay(begin_s, begin_s + 3 * 86400).status, 202U);
    const json outcome = ended();
    ASSERT_EQ(outcome["well"], true) << outcome;
    const json& figures = outcome["figures"];
    EXPECT_EQ(figures["trips"].size(), 4U) << "each night, as the voltage is 13.1 V outside the hours of sun";
    EXPECT_EQ(figures["trips"][0]["guard"], "low");
    EXPECT_EQ(figures["trips"][0]["lasts"], false);
    EXPECT_EQ(figures["trips"].back()["lasts"], true);
    EXPECT_EQ(figures["nearest"].size(), 1U);
    std::ifstream in(AMPHORA_SOURCE_DIR "/docs/reference/openapi.json");
    const json file = json::parse(in);
    EXPECT_EQ(SchemaCheck(file).fault(json{{"$ref", "#/components/schemas/GuardTrial"}}, figures), "");
}

TEST_F(GuardTrialApi, AndHowNearWhatDidNotCame) {
    describe_guard("watch = \"voltage\"\ntrip_below = 12\nclear_above = 13\n");
    ASSERT_EQ(replay(begin_s, begin_s + 86400).status, 202U);
    const json figures = ended()["figures"];
    EXPECT_TRUE(figures["trips"].empty());
    EXPECT_EQ(figures["nearest"][0]["value"], "13.10 V");
}

TEST_F(GuardTrialApi, RefusesWhatMakesNoSense) {
    EXPECT_EQ(replay(begin_s, begin_s + 86400).status, 422U) << "no guard is described";
    describe_guard("watch = \"voltage\"\ntrip_below = 12\nclear_above = 13\n");
    EXPECT_EQ(replay(2, 1).status, 400U);
    EXPECT_EQ(replay(0, 1e9).status, 400U) << "longer than a year";
    EXPECT_EQ(send("/api/v1/guards/replay", std::string("[]")).status, 400U);
    EXPECT_EQ(send("/api/v1/guards/replay", json{{"from", "x"}, {"to", 2}}).status, 400U);
}

}  // namespace
}  // namespace amphora::web

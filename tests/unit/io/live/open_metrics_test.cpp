// Against the OpenMetrics 1.0 specification (prometheus/docs, docs/specs/om/open_metrics_spec.md): the order TYPE,
// UNIT, HELP; a unit is the suffix of its name; counters end in _total; the text ends in "# EOF".
#include "io/live/open_metrics.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>
#include <set>
#include <sstream>

namespace amphora::live {
namespace {

using Json = nlohmann::ordered_json;
using testing::HasSubstr;
using testing::Not;

Json example() {
    return Json::parse(R"({"age_s": 0.5,
        "channels": [
            {"measures": "current", "of": "battery", "source": "shunt", "value": -5.25, "silent": false},
            {"measures": "current", "of": "charger", "whose": "ro\"of", "source": "mppt", "value": 7, "silent": false},
            {"measures": "temperature", "of": "battery", "source": "shunt", "value": 20, "silent": true},
            {"measures": "cell-voltage", "of": "battery", "cell": 2, "source": "bms", "value": 3.3, "silent": false}],
        "estimate": {"state_of_charge": {"mean": 0.62, "sd": 0.02}, "remaining_ah": {"mean": 80, "sd": 4},
            "full_charge_capacity_ah": {"mean": 190, "sd": null},
            "time_to_empty_s": {"low": 3600, "likely": 7200, "high": "never"}},
        "sources": [{"name": "shunt", "readings": 12, "refused": 1, "gaps": 0, "errors": 0, "reconnects": 0}],
        "record": {"taken": 12, "safe": 10}})");
}

TEST(OpenMetrics, TellsWhatIsKnown) {
    const std::string text = open_metrics(example());
    EXPECT_THAT(text, HasSubstr("\namphora_current_amperes{of=\"battery\",source=\"shunt\"} -5.25\n"));
    EXPECT_THAT(text, HasSubstr("{of=\"charger\",source=\"mppt\",whose=\"ro\\\"of\"} 7\n"));
    EXPECT_THAT(text, HasSubstr("amphora_cell_voltage_volts{of=\"battery\",source=\"bms\",cell=\"2\"} 3.3\n"));
    EXPECT_THAT(text, HasSubstr("\namphora_state_of_charge_ratio 0.62\n"));
    EXPECT_THAT(text, HasSubstr("\namphora_remaining_coulombs 288000\n"));
    EXPECT_THAT(text, HasSubstr("\namphora_source_refused_total{source=\"shunt\"} 1\n"));
    EXPECT_THAT(text, HasSubstr("amphora_time_to_empty_seconds{edge=\"likely\"} 7200\n"));
}

TEST(OpenMetrics, LeavesOutWhatIsNot) {
    const std::string text = open_metrics(example());
    EXPECT_THAT(text, Not(HasSubstr("celsius")));  // silent
    EXPECT_THAT(text, Not(HasSubstr("capacity_sd")));
    EXPECT_THAT(text, Not(HasSubstr("edge=\"high\"")));
    EXPECT_EQ(open_metrics(nullptr).substr(0, 32), "# TYPE amphora_recorder_up gauge");
    EXPECT_THAT(open_metrics(nullptr), HasSubstr("\namphora_recorder_up 0\n# EOF\n"));
}

TEST(OpenMetrics, IsWellFormed) {
    const std::string text = open_metrics(example());
    EXPECT_TRUE(text.ends_with("\n# EOF\n"));
    std::istringstream lines(text);
    std::set<std::string> families;
    std::string family, type, last = "EOF";
    for (std::string line; std::getline(lines, line);) {
        std::istringstream words(line);
        std::string hash, what, name, value;
        words >> hash >> what >> name >> value;
        if (hash != "#") {
            const std::string metric = line.substr(0, line.find_first_of("{ "));
            EXPECT_EQ(metric, type == "counter" ? family + "_total" : family);
            last = "value";
        } else if (what == "TYPE") {
            EXPECT_TRUE(families.insert(name).second) << name << " is told in two places";
            family = name;
            type = value;
            last = what;
        } else if (what == "UNIT") {
            EXPECT_EQ(last, "TYPE");
            EXPECT_TRUE(family.ends_with("_" + value)) << line;
            last = what;
        } else if (what == "HELP") {
            EXPECT_TRUE(last == "TYPE" || last == "UNIT");
            last = what;
        }
    }
    EXPECT_GT(families.size(), 10U);
}

}  // namespace
}  // namespace amphora::live

#include "io/describe/json.hpp"

#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "io/describe/describe.hpp"

namespace amphora::describe {
namespace {

using Json = nlohmann::ordered_json;

TEST(Json, KeysAndUnitsAreThoseOfTheDescription) {
    const auto described = describe_text(R"(
[battery]
chemistry = "agm"
design_capacity_ah = 220
installed = 2023-05-01
[[meter]]
rated_current_a = 500
rated_drop_mv = 50
[[meter]]
name = "bow thruster"
)");
    ASSERT_TRUE(described);
    EXPECT_EQ(to_json(described->system), Json::parse(R"({
        "format": 1,
        "system": {"name": "unnamed", "nominal_voltage_v": 12.0},
        "battery": {"chemistry": "agm", "design_capacity_ah": 220.0, "rated_over_h": 20.0, "cells_in_series": 6,
                    "reserve": 0.5, "installed": "2023-05-01", "strings": 1, "string_fuses": false, "heated": false,
                    "full": {"voltage_v": 14.22, "current_below_a": 2.2, "for_s": 3600.0}},
        "meter": [{"name": "shunt", "rated_current_a": 500.0, "rated_drop_mv": 50.0,
                   "continuous_share": 0.6666666666666666, "in_use": true},
                  {"name": "bow thruster", "continuous_share": 0.6666666666666666, "in_use": true}],
        "live": {"durability_s": 60.0},
        "broker": {"port": 1883, "publish": true, "domain": "homie"}})"));
}

TEST(Json, AMeasuredCurveIsKept) {
    const auto described = describe_text(
        "[battery]\nchemistry = \"lfp\"\ndesign_capacity_ah = 1\n[battery.ocv]\nstate_of_charge = [0, 1]\n"
        "voltage_v = [2.6, 3.6]\n");
    ASSERT_TRUE(described);
    EXPECT_EQ(to_json(described->system)["battery"]["ocv"],
              Json::parse(R"({"state_of_charge": [0.0, 1.0], "voltage_v": [2.6, 3.6]})"));
}

}  // namespace
}  // namespace amphora::describe

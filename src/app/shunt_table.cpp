#include "app/shunt_table.hpp"

#include <fmt/format.h>

#include <cmath>
#include <nlohmann/json.hpp>

#include "core/design/shunt_choice.hpp"
#include "core/design/words.hpp"
#include "io/text/json_number.hpp"

namespace amphora::app {
namespace {

std::string or_dash(double value, const std::string& unit = "") {
    return std::isfinite(value) ? design::digits(value) + unit : std::string("-");
}

}  // namespace

std::string shunt_table(const design::Plan& plan) {
    const auto verdicts = design::compare_shunts(plan);
    if (verdicts.size() < 2) return "";
    std::string out =
        fmt::format("\nShunts compared\n  {:<18}{:>9}{:>12}{:>12}{:>9}{:>10}{:>13}{:>14}  {}\n", "", "price",
                    "load/limit", "surge/range", "heat", "step", "zero error", "days to 5 pt", "");
    for (const auto& v : verdicts) {
        out += fmt::format("  {:<18}{:>9}{:>12}{:>12}{:>9}{:>10}{:>13}{:>14}  {}\n", v.name, or_dash(v.price.value()),
                           design::percent(v.load_share), design::percent(v.surge_share), design::words(v.heat),
                           or_dash(v.step.value(), " A"), or_dash(v.offset.value(), " A"), or_dash(v.days_to_drift),
                           v.fit()     ? "suits"
                           : v.carries ? "too coarse"
                                       : "too small");
    }
    return out + "  " + design::advise(plan, verdicts) + "\n";
}

nlohmann::ordered_json shunts_json(const design::Plan& plan) {
    auto list = nlohmann::ordered_json::array();
    const auto verdicts = design::compare_shunts(plan);
    for (const auto& v : verdicts) {
        list.push_back({{"name", v.name},
                        {"in_use", v.in_use},
                        {"price", text::json_number(v.price.value())},
                        {"load_share", v.load_share},
                        {"surge_share", v.surge_share},
                        {"heat_w", v.heat.value()},
                        {"drop_v", v.drop.value()},
                        {"offset_a", text::json_number(v.offset.value())},
                        {"step_a", text::json_number(v.step.value())},
                        {"days_to_5_points", text::json_number(v.days_to_drift)},
                        {"suits", v.fit()}});
    }
    return {{"shunts", list}, {"advice", design::advise(plan, verdicts)}};
}

}  // namespace amphora::app

#include "io/web/api/appliance_api.hpp"

#include <algorithm>
#include <array>
#include <string_view>

#include "core/design/energy.hpp"
#include "io/web/api/figure_json.hpp"
#include "io/web/api/plan_json.hpp"

namespace amphora::web {
namespace {

constexpr std::array<std::string_view, 3> feeds{"battery", "inverter", "shore"};
constexpr std::int64_t measured_days = 28;

Json by_month(const design::ByMonth& values) {
    Json list = Json::array();
    for (const WattHour w : values) list.push_back(number(w.value(), decimals::wh));
    return list;
}

Json lines(const std::vector<design::BudgetLine>& budget) {
    Json list = Json::array();
    for (const auto& line : budget) list.push_back({{"name", line.name}, {"wh_per_day", by_month(line.per_day)}});
    return list;
}

Json appliances_json(const design::Plan& plan) {
    Json list = Json::array();
    for (const auto& a : plan.appliances)
        list.push_back({{"name", a.name},
                        {"circuit", a.circuit},
                        {"feed", feeds.at(static_cast<std::size_t>(a.feed))},
                        {"count", a.count},
                        {"power_w", number(a.power.value(), decimals::watt)},
                        {"standby_w", number(a.standby.value(), decimals::watt)}});
    return list;
}

// The mean day of the last four weeks: what came and went in all, whoever it was.
Json measured_json(const Desk& desk) {
    (void)desk.past.refresh();
    const auto extent = desk.past.extent();
    if (!extent) return nullptr;
    const record::Span lately{std::max(extent->from_us, extent->to_us - measured_days * ledger::day_us), extent->to_us};
    const auto total = desk.past.total(lately);
    if (!total || total->covered_us == 0) return nullptr;
    const double days = static_cast<double>(total->covered_us) / static_cast<double>(ledger::day_us);
    return {{"days", number(days, 2)},
            {"to", moment(Instant{lately.to_us})},
            {"in_wh_per_day", number(total->taken_in().value() / days, decimals::wh)},
            {"out_wh_per_day", number(total->given_out().value() / days, decimals::wh)}};
}

Response appliances(const Desk& desk) {
    const auto described = describe::describe_text(desk.description.text());
    if (!described) return problem(422, "The description has mistakes: correct them first (/api/v1/description).");
    const auto plan = plan_beside(described->system, desk.description.file());
    if (!plan) return problem(422, plan.error());
    const design::Budget budget = design::budget_of(*plan);
    return answer_with({{"appliances", appliances_json(*plan)},
                        {"uses", lines(budget.uses)},
                        {"losses", lines(budget.losses)},
                        {"gives", lines(budget.gives)},
                        {"used_wh_per_day", by_month(budget.used)},
                        {"given_wh_per_day", by_month(budget.given)},
                        {"measured", measured_json(desk)}});
}

}  // namespace

void add_appliance_api(Routes& routes, const Desk& desk) {
    routes.get("/api/v1/appliances", [&desk](const Request&) { return appliances(desk); });
}

}  // namespace amphora::web

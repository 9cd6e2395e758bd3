#include "app/plan_file.hpp"

#include <fmt/core.h>

#include <cstdio>
#include <filesystem>

#include "app/description.hpp"
#include "core/design/caution.hpp"
#include "core/design/measured_draw.hpp"
#include "core/design/plan_of.hpp"
#include "io/weather/weather_file.hpp"

namespace amphora::app {

std::expected<design::Plan, Exit> plan_from(const System& system, const std::string& file) {
    design::Plan plan = design::plan_of(system);
    const auto& climate_said = system.equipment.climate;
    if (!climate_said || climate_said->weather_file.empty()) return plan;
    const auto climate =
        weather::read_weather_file(std::filesystem::path(file).parent_path() / climate_said->weather_file);
    if (!climate) {
        fmt::print(stderr, "{}\n", climate.error().message);
        return std::unexpected(Exit::no_input);
    }
    plan.climate = *climate;
    return plan;
}

std::expected<design::Plan, Exit> open_plan(const std::string& file) {
    const auto described = open_description(file);
    if (!described) return std::unexpected(described.error());
    return plan_from(described->system, file);
}

std::expected<design::Plan, Exit> open_plan_with_loads(const std::string& file) {
    auto plan = open_plan(file);
    if (plan && plan->appliances.empty()) {
        fmt::print(
            stderr,
            "{}: describe at least one [[appliance]]: without it nothing draws, and there is nothing to reckon with\n",
            file);
        return std::unexpected(Exit::config);
    }
    return plan;
}

std::string measured_draws(const design::Plan& plan) {
    std::string list;
    for (const design::Appliance& a : plan.appliances) {
        if (a.measured) list += fmt::format("{}{} ({})", list.empty() ? "" : "; ", a.name, design::measured_words(a));
    }
    return list.empty() ? "" : fmt::format("Use: by draw tests, on average while on, for {}.\n", list);
}

std::string cautions(const design::Plan& plan) {
    std::string lines;
    for (const std::string& c : design::cautions_for(plan)) lines += fmt::format("  {}\n", c);
    return lines;
}

}  // namespace amphora::app

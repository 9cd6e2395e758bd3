#include "io/web/api/plan_json.hpp"

#include "core/design/caution.hpp"
#include "core/design/plan_of.hpp"
#include "core/design/rules.hpp"
#include "io/weather/weather_file.hpp"

namespace amphora::web {
namespace {

std::string_view word(design::Severity severity) {
    switch (severity) {
        case design::Severity::danger:
            return "danger";
        case design::Severity::warning:
            return "warning";
        case design::Severity::note:
            break;
    }
    return "note";
}

bool is_designed(const Equipment& e) {
    return !e.circuits.empty() || !e.appliances.empty() || !e.chargers.empty() || !e.inverters.empty();
}

}  // namespace

std::expected<design::Plan, std::string> plan_beside(const System& system, const std::filesystem::path& file) {
    design::Plan plan = design::plan_of(system);
    const auto& climate_said = system.equipment.climate;
    if (!climate_said || climate_said->weather_file.empty()) return plan;
    auto climate = weather::read_weather_file(file.parent_path() / climate_said->weather_file);
    if (!climate) return std::unexpected(climate.error().message);
    plan.climate = std::move(*climate);
    return plan;
}

Json mistakes_json(const describe::Mistakes& mistakes) {
    Json list = Json::array();
    for (const auto& m : mistakes)
        list.push_back({{"line", m.line}, {"column", m.column}, {"path", m.path}, {"message", m.message}});
    return list;
}

Json assumed_json(const std::vector<describe::Note>& notes) {
    Json list = Json::array();
    for (const auto& n : notes) list.push_back({{"path", n.path}, {"value", n.value}, {"why", n.why}});
    return list;
}

Json findings_json(const design::Findings& findings) {
    Json list = Json::array();
    for (const auto& f : findings) {
        Json figures = Json::array();
        for (const auto& figure : f.figures)
            figures.push_back({{"name", figure.name}, {"value", number(figure.value, 4)}, {"unit", figure.unit}});
        list.push_back({{"severity", word(f.severity)},
                        {"rule", f.rule},
                        {"subject", f.subject},
                        {"sentence", f.sentence},
                        {"figures", figures},
                        {"source", f.source},
                        {"mend", f.mend}});
    }
    return list;
}

Json judged_json(const System& system, const std::filesystem::path& file) {
    const auto plan = plan_beside(system, file);
    if (!plan) return {{"findings", Json::array()}, {"cautions", Json::array()}, {"trouble", plan.error()}};
    return {{"findings", findings_json(is_designed(system.equipment) ? design::check(*plan) : design::Findings{})},
            {"cautions", design::cautions_for(*plan)},
            {"trouble", nullptr}};
}

}  // namespace amphora::web

#include "io/web/api/description_api.hpp"

#include <expected>
#include <fstream>
#include <iterator>
#include <optional>
#include <utility>

#include "io/describe/json.hpp"
#include "io/document/commissioning.hpp"
#include "io/document/diagram.hpp"
#include "io/web/api/body_json.hpp"
#include "io/web/api/plan_json.hpp"

namespace amphora::web {
namespace {

constexpr std::size_t largest_body = 2 * describe::longest_description;

/// What a text of a description means; mistakes, if there are any.
Json read_json(const std::string& text) {
    const auto described = describe::describe_text(text);
    if (!described)
        return {{"valid", false}, {"mistakes", mistakes_json(described.error())}, {"assumed", Json::array()}};
    return {{"valid", true}, {"mistakes", Json::array()}, {"assumed", assumed_json(described->notes)}};
}

Response description(const Desk& desk) {
    const std::string text = desk.description.text();
    Json answer{{"file", desk.description.file().filename().string()},
                {"text", text},
                {"mark", DescriptionFile::mark_of(text)}};
    answer.update(read_json(text));
    if (const auto described = describe::describe_text(text)) answer["system"] = describe::to_json(described->system);
    return answer_with(answer);
}

Response validate(const Desk& desk, const Request& request) {
    const auto body = object_of(request.body);
    const auto text = body ? text_in(*body, "text") : std::nullopt;
    if (!text) return problem(400, "Send {\"text\": \"...\"}: the description as it would be.");
    if (text->size() > describe::longest_description) return problem(413, "A description has at most 1 MiB.");
    Json answer = read_json(*text);
    if (const auto described = describe::describe_text(*text))
        answer.update(judged_json(described->system, desk.description.file()));
    return answer_with(answer);
}

Response save(Desk& desk, const Request& request) {
    const auto body = object_of(request.body);
    const auto text = body ? text_in(*body, "text") : std::nullopt;
    const auto mark = body ? text_in(*body, "mark") : std::nullopt;
    if (!text || !mark)
        return problem(400,
                       "Send {\"text\": \"...\", \"mark\": \"...\"}: the description as it shall be, and the mark of "
                       "the one that it was made from.");
    if (text->size() > describe::longest_description) return problem(413, "A description has at most 1 MiB.");
    const auto saved = desk.description.save(*text, *mark);
    if (!saved) {
        using Kind = SaveFault::Kind;
        const Kind kind = saved.error().kind;
        return problem(kind == Kind::changed ? 409 : kind == Kind::mistaken ? 422 : 500, saved.error().sentence);
    }
    if (desk.on_description) desk.on_description(saved->system);
    return answer_with({{"mark", DescriptionFile::mark_of(*text)}});
}

/// The plan of the description as it is; or the answer that says why there is none.
std::expected<std::pair<design::Plan, System>, Response> plan_now(const Desk& desk) {
    auto described = describe::describe_text(desk.description.text());
    if (!described)
        return std::unexpected(problem(422, "The description has mistakes: correct them first (/api/v1/description)."));
    auto plan = plan_beside(described->system, desk.description.file());
    if (!plan) return std::unexpected(problem(422, plan.error()));
    return std::pair{std::move(*plan), std::move(described->system)};
}

Response findings(const Desk& desk) {
    const auto described = describe::describe_text(desk.description.text());
    if (!described) return problem(422, "The description has mistakes: correct them first (/api/v1/description).");
    return answer_with(judged_json(described->system, desk.description.file()));
}

Response diagram(const Desk& desk, const Query& query) {
    using document::Variant;
    const std::string_view word = query.find("variant").value_or("meter-only");
    const auto variant = word == "meter-only"       ? std::optional(Variant::meter_only)
                         : word == "cut-off"        ? std::optional(Variant::cut_off)
                         : word == "separate-buses" ? std::optional(Variant::separate_buses)
                                                    : std::nullopt;
    if (!variant) return problem(400, "variant is one of meter-only, cut-off, separate-buses.");
    const auto plan = plan_now(desk);
    if (!plan) return plan.error();
    const auto file = desk.scratch / "diagram.svg";
    if (const auto drawn = document::write_diagram(plan->first, *variant, file); !drawn)
        return problem(500, drawn.error());
    std::ifstream in(file, std::ios::binary);
    Response response;
    response.type = "image/svg+xml";
    response.body = Body(std::string(std::istreambuf_iterator<char>(in), {}));
    return response;
}

Response commissioning(const Desk& desk) {
    const auto plan = plan_now(desk);
    if (!plan) return plan.error();
    Json settings = Json::array();
    for (const auto& s : document::meter_settings(plan->first, plan->second))
        settings.push_back({{"what", s.what}, {"value", s.value}, {"why", s.why}});
    return answer_with({{"settings", settings}, {"steps", document::commissioning_steps(plan->first)}});
}

}  // namespace

void add_description_api(Routes& routes, Desk& desk) {
    routes.get("/api/v1/description", [&desk](const Request&) { return description(desk); });
    routes.post("/api/v1/description/validate", [&desk](const Request& request) { return validate(desk, request); },
                {.body_limit = largest_body, .access = Access::look});
    routes.post("/api/v1/description/save", [&desk](const Request& request) { return save(desk, request); },
                {.body_limit = largest_body});
    routes.get("/api/v1/findings", [&desk](const Request&) { return findings(desk); });
    routes.get("/api/v1/diagram.svg", [&desk](const Request& request) { return diagram(desk, request.query); });
    routes.get("/api/v1/commissioning", [&desk](const Request&) { return commissioning(desk); });
}

}  // namespace amphora::web

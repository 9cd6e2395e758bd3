#include "io/web/api/why_api.hpp"

#include <algorithm>

#include "io/web/api/figure_json.hpp"
#include "io/web/api/now_api.hpp"
#include "io/web/api/reason.hpp"

namespace amphora::web {
namespace {

Json reason_json(const Reason& reason, const Desk& desk) {
    const auto present = present_of(desk);
    return {{"figure", reason.figure},
            {"question", reason.question},
            {"meaning", reason.meaning},
            {"readings", present ? Json(reason.readings(*present, desk.live.system())) : Json(nullptr)},
            {"formula", reason.formula},
            {"rule", reason.rule},
            {"source", reason.source}};
}

Response why(const Desk& desk, const Query& query) {
    const auto figure = query.find("figure");
    if (!figure) {
        Json names = Json::array();
        for (const Reason& reason : reasons()) names.push_back(reason.figure);
        return answer_with({{"figures", names}});
    }
    const auto found = std::ranges::find(reasons(), *figure, &Reason::figure);
    if (found == reasons().end()) return problem(404, "There is no such figure; /api/v1/why lists them.");
    return answer_with(reason_json(*found, desk));
}

}  // namespace

void add_why_api(Routes& routes, const Desk& desk) {
    routes.get("/api/v1/why", [&desk](const Request& request) { return why(desk, request.query); });
}

}  // namespace amphora::web

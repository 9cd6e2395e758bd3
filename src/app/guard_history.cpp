#include "app/guard_history.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <nlohmann/json.hpp>

#include "io/text/guard_words.hpp"
#include "io/text/json_number.hpp"

namespace amphora::app {
namespace {

using Json = nlohmann::ordered_json;

const described::Guard* guard_of(const record::GuardAct& act, const System& system) {
    const auto& all = system.protection.guards;
    const auto found = std::ranges::find(all, act.guard, &described::Guard::name);
    return found == all.end() ? nullptr : &*found;
}

Json as_json(const record::GuardAct& act) {
    Json json = {{"at", static_cast<double>(act.at_us) / 1e6}, {"event", act.kind}};
    if (act.guard.empty()) {
        json["relay"] = act.relay;
        json["to"] = !act.on ? Json(nullptr) : Json(*act.on ? "on" : "off");
    } else {
        json["guard"] = act.guard;
        json["value"] = text::json_number(act.value);
        json["worst"] = text::json_number(act.worst);
    }
    return json;
}

}  // namespace

Exit print_guard_history(const RecordPlace& place, const record::Reader& reader, record::Span span, bool json) {
    auto acts = reader.acts(span, std::numeric_limits<std::int32_t>::max());
    if (!acts) return report(acts.error());
    std::ranges::reverse(*acts);
    if (json) {
        Json list = Json::array();
        for (const auto& act : *acts) list.push_back(as_json(act));
        fmt::print("{}\n", Json{{"acts", list}}.dump(2, ' ', false, Json::error_handler_t::replace));
        return Exit::ok;
    }
    if (acts->empty()) fmt::print("The record has nothing that guards did in this time.\n");
    for (const auto& act : *acts)
        fmt::print("{:.19}  {:<33} {}\n", reader.days().time(act.at_us),
                   act.guard.empty() ? "relay " + act.relay : act.guard,
                   text::act_words(act.kind, guard_of(act, place.system), Level(act.value), Level(act.worst), act.on));
    return Exit::ok;
}

}  // namespace amphora::app

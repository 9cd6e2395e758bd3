#include "io/web/api/standing_api.hpp"

#include <algorithm>
#include <string_view>

#include "io/text/guard_words.hpp"
#include "io/web/api/figure_json.hpp"

namespace amphora::web {
namespace {

std::string_view word(SourceState state) {
    switch (state) {
        case SourceState::well:
            return "well";
        case SourceState::late:
            return "late";
        case SourceState::refused:
            return "refused";
        case SourceState::silent:
            break;
    }
    return "silent";
}

Json optional_moment(const std::optional<Instant>& at) { return at ? moment(*at) : Json(nullptr); }

Response sources(const Desk& desk) {
    Json list = Json::array();
    for (const SourceHealth& s : desk.live.sources())
        list.push_back({{"name", s.name},
                        {"kind", s.kind},
                        {"state", word(s.state)},
                        {"last", optional_moment(s.last)},
                        {"interval_s", number(s.interval.value(), 3)},
                        {"readings", s.readings},
                        {"faults", s.faults},
                        {"message", s.message}});
    return answer_with({{"sources", list}});
}

constexpr std::size_t most_acts = 100;

/// From the record, which forgets nothing; from the present where there is no record of them (an invented van).
std::vector<GuardAct> acts_of(const Desk& desk) {
    std::vector<GuardAct> acts;
    const auto* reader = desk.past.reader();
    const auto kept = reader == nullptr ? record::Result<std::vector<record::GuardAct>>{}
                                        : reader->acts({INT64_MIN, INT64_MAX}, most_acts);
    if (!kept || kept->empty()) return desk.live.acts();
    const auto& guards = desk.live.system().protection.guards;
    for (const record::GuardAct& act : *kept) {
        const auto described = std::ranges::find(guards, act.guard, &described::Guard::name);
        acts.push_back({Instant{act.at_us}, act.guard.empty() ? "relay " + act.relay : act.guard,
                        text::act_words(act.kind, described == guards.end() ? nullptr : &*described, Level(act.value),
                                        Level(act.worst), act.on)});
    }
    return acts;
}

Response guards(const Desk& desk) {
    Json list = Json::array();
    for (const GuardStanding& g : desk.live.guards())
        list.push_back({{"name", g.name},
                        {"rule", g.rule},
                        {"state", g.state},
                        {"since", optional_moment(g.since)},
                        {"message", g.message}});
    Json acts = Json::array();
    for (const GuardAct& a : acts_of(desk))
        acts.push_back({{"at", moment(a.at)}, {"guard", a.guard}, {"what", a.what}});
    return answer_with({{"guards", list}, {"acts", acts}});
}

}  // namespace

void add_standing_api(Routes& routes, const Desk& desk) {
    routes.get("/api/v1/sources", [&desk](const Request&) { return sources(desk); });
    routes.get("/api/v1/guards", [&desk](const Request&) { return guards(desk); });
}

}  // namespace amphora::web

#include "io/web/api/past_api.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <expected>
#include <string_view>
#include <utility>

#include "io/web/api/figure_json.hpp"
#include "io/web/api/now_api.hpp"

namespace amphora::web {
namespace {

using namespace decimals;

constexpr double latest_moment = 253402300799.0;  // the end of the year 9999
constexpr double most_points = 2000;
constexpr double most_bars = 4000;

constexpr std::array<std::pair<std::string_view, BarUnit>, 4> units{
    {{"hour", BarUnit::hour}, {"day", BarUnit::day}, {"week", BarUnit::week}, {"month", BarUnit::month}}};

std::int64_t micro(double seconds) { return Instant::from_unix(seconds).us; }

// `from` and `to` of a request; if not given, the last `usual_s` seconds of what is known.
std::expected<record::Span, Response> span_of(const Desk& desk, const Query& query, double usual_s) {
    for (const std::string_view name : {"from", "to", "points"}) {
        if (query.find(name) && !query.number(name))
            return std::unexpected(problem(400, "from, to and points are plain numbers."));
    }
    const auto present = present_of(desk);
    const auto extent = desk.past.extent();
    const double now = present  ? present->estimate.at.unix_seconds()
                       : extent ? static_cast<double>(extent->to_us) / 1e6
                                : 0.0;
    const double to = query.number("to").value_or(now);
    const double from = query.number("from").value_or(to - usual_s);
    if (!(from < to) || std::abs(from) > latest_moment || std::abs(to) > latest_moment)
        return std::unexpected(problem(400, "from and to are moments in Unix seconds, from before to."));
    return record::Span{micro(from), micro(to)};
}

Response unreadable(const record::RecordError& error) { return problem(500, error.message); }

template <class List, class Take>
Json column(const List& list, int places, Take take) {
    Json values = Json::array();
    for (const auto& item : list) values.push_back(number(take(item), places));
    return values;
}

void add_levels(Json& answer, const std::string& name, const std::vector<record::Level>& levels) {
    answer[name] = column(levels, share, [](const auto& l) { return l.state_of_charge.mean.value(); });
    answer[name + "_sd"] = column(levels, share, [](const auto& l) { return l.state_of_charge.sd.value(); });
    answer[name + "_low"] = column(levels, share, [](const auto& l) { return l.lowest.value(); });
    answer[name + "_high"] = column(levels, share, [](const auto& l) { return l.highest.value(); });
}

template <class List, class Take>
void add_range(Json& answer, const std::string& name, const std::string& unit, int places, const List& list,
               Take range) {
    answer[name + "_low" + unit] = column(list, places, [&](const auto& r) { return range(r).lowest(); });
    answer[name + unit] = column(list, places, [&](const auto& r) { return range(r).mean(); });
    answer[name + "_high" + unit] = column(list, places, [&](const auto& r) { return range(r).highest(); });
}

Json moved_json(const ledger::Rollup& r) {
    return {{"in_ah", number(r.in().value(), ah)},
            {"out_ah", number(r.out().value(), ah)},
            {"in_wh", number(r.taken_in().value(), wh)},
            {"out_wh", number(r.given_out().value(), wh)},
            {"seen_s", number(static_cast<double>(r.covered_us) / 1e6, second)}};
}

Json span_json(record::Span asked, const PastSpan& past, const ledger::Rollup& total) {
    Json answer{{"from", moment(Instant{asked.from_us})}, {"to", moment(Instant{asked.to_us})}};
    Json at = Json::array();
    for (const std::int64_t edge : past.edges) at.push_back(number(static_cast<double>(edge) / 1e6, 3));
    answer["edges"] = std::move(at);
    add_levels(answer, "state_of_charge", past.lived);
    add_levels(answer, "hindsight", past.hindsight);
    add_range(answer, "current", "_a", ampere, past.readings, [](const auto& r) { return r.current; });
    add_range(answer, "voltage", "_v", volt, past.readings, [](const auto& r) { return r.voltage; });
    add_range(answer, "temperature", "_c", degree, past.readings, [](const auto& r) { return r.temperature; });
    answer["total"] = moved_json(total);
    return answer;
}

Response span(const Desk& desk, const Query& query) {
    const double points = query.number("points").value_or(288.0);
    if (points < 1 || points > most_points || points != std::floor(points))
        return problem(400, "points is a whole number from 1 to 2000.");
    const auto asked = span_of(desk, query, 86400.0);
    if (!asked) return asked.error();
    if (const auto fresh = desk.past.refresh(); !fresh) return unreadable(fresh.error());
    const auto past = desk.past.span(*asked, static_cast<std::size_t>(points));
    if (!past) return unreadable(past.error());
    const auto total = desk.past.total(*asked);
    if (!total) return unreadable(total.error());
    return answer_with(span_json(*asked, *past, *total));
}

Json bars_json(const std::vector<Bar>& bars, std::string_view by, const std::string& zone) {
    Json answer{{"by", by}, {"zone", zone}};
    answer["from"] = column(bars, 0, [](const Bar& b) { return static_cast<double>(b.sum.start_us) / 1e6; });
    answer["to"] = column(bars, 0, [](const Bar& b) { return static_cast<double>(b.end_us) / 1e6; });
    answer["in_ah"] = column(bars, ah, [](const Bar& b) { return b.sum.in().value(); });
    answer["out_ah"] = column(bars, ah, [](const Bar& b) { return b.sum.out().value(); });
    answer["in_wh"] = column(bars, wh, [](const Bar& b) { return b.sum.taken_in().value(); });
    answer["out_wh"] = column(bars, wh, [](const Bar& b) { return b.sum.given_out().value(); });
    answer["seen_s"] = column(bars, second, [](const Bar& b) { return static_cast<double>(b.sum.covered_us) / 1e6; });
    answer["hindsight"] = column(bars, share, [](const Bar& b) { return b.hindsight.state_of_charge.mean.value(); });
    answer["hindsight_sd"] = column(bars, share, [](const Bar& b) { return b.hindsight.state_of_charge.sd.value(); });
    answer["hindsight_low"] = column(bars, share, [](const Bar& b) { return b.hindsight.lowest.value(); });
    answer["hindsight_high"] = column(bars, share, [](const Bar& b) { return b.hindsight.highest.value(); });
    add_range(answer, "current", "_a", ampere, bars, [](const Bar& b) { return b.sum.current; });
    add_range(answer, "voltage", "_v", volt, bars, [](const Bar& b) { return b.sum.voltage; });
    add_range(answer, "temperature", "_c", degree, bars, [](const Bar& b) { return b.sum.temperature; });
    return answer;
}

Response bars(const Desk& desk, const Query& query) {
    const std::string_view by = query.find("by").value_or("day");
    const auto* unit = std::ranges::find(units, by, &std::pair<std::string_view, BarUnit>::first);
    if (unit == units.end()) return problem(400, "by is one of hour, day, week, month.");
    const auto asked = span_of(desk, query, 14 * 86400.0);
    if (!asked) return asked.error();
    const double length_s = static_cast<double>(asked->to_us - asked->from_us) / 1e6;
    if (unit->second == BarUnit::hour && length_s > most_bars * 3600.0)
        return problem(400, "That is more hours than are answered at once (4000): ask for days.");
    if (const auto fresh = desk.past.refresh(); !fresh) return unreadable(fresh.error());
    const auto found = desk.past.bars(*asked, unit->second);
    if (!found) return unreadable(found.error());
    const auto* reader = desk.past.reader();
    return answer_with(bars_json(*found, by, reader != nullptr ? reader->days().zone() : "UTC"));
}

}  // namespace

void add_past_api(Routes& routes, const Desk& desk) {
    routes.get("/api/v1/span", [&desk](const Request& request) { return span(desk, request.query); });
    routes.get("/api/v1/bars", [&desk](const Request& request) { return bars(desk, request.query); });
}

}  // namespace amphora::web

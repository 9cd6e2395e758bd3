#include "io/web/api/trial_api.hpp"

#include <array>
#include <charconv>
#include <string_view>

#include "core/appliance/draw_settings.hpp"
#include "core/commission/commissioning.hpp"
#include "io/text/commission_words.hpp"
#include "io/text/draw_words.hpp"
#include "io/web/api/figure_json.hpp"

namespace amphora::web {
namespace {

using commission::Ask;
using commission::Commissioning;

// ---- what one appliance draws

constexpr std::array<std::string_view, 4> switchings{"off", "on", "off_again", "end"};

std::string_view word(DrawStep step) {
    switch (step) {
        case DrawStep::off_before:
            return "off_before";
        case DrawStep::on:
            return "on";
        case DrawStep::off_after:
            return "off_after";
        case DrawStep::done:
            break;
    }
    return "done";
}

Json result_json(const DrawResult& r, const System& system, const std::string& name) {
    const auto* appliance = appliance_named(system, name);
    const bool behind_inverter = appliance != nullptr && appliance->feed == described::Feed::inverter;
    const bool measured = r.draw.mean.known() && !r.below_resolution && !r.too_few_cycles;
    return {{"measured", measured},
            {"draw_a", uncertain(measured ? r.draw : DrawResult{}.draw, decimals::ampere)},
            {"power_w", uncertain(measured ? r.power : DrawResult{}.power, decimals::watt)},
            {"at_most_a", number(r.below_resolution ? r.at_most.value() : std::nan(""), decimals::ampere)},
            {"text", text::result_words(r, name, behind_inverter)}};
}

Response draw(const Desk& desk, const Query& query) {
    const std::string name(query.find("name").value_or("the appliance"));
    const System& system = desk.live.system();
    std::vector<Instant> moments;
    for (const auto key : switchings) {
        const auto at = query.number(key);
        if (!at) break;
        moments.push_back(Instant::from_unix(*at));
        if (moments.size() > 1 && moments.back() < moments[moments.size() - 2])
            return problem(400, "The moments off, on, off_again and end must come in this order.");
    }
    DrawTest test(draw_settings(system, name));
    std::size_t next = 0;
    for (const Reading& reading : desk.recent.readings()) {
        while (next < moments.size() && moments[next] <= reading.at) test.switched(moments[next++]);
        test.push(reading);
    }
    while (next < moments.size()) test.switched(moments[next++]);
    const bool done = test.step() == DrawStep::done;
    const auto cycles = done ? std::nullopt : test.whole_cycles();
    return answer_with(
        {{"step", word(test.step())},
         {"counting", test.counting() && !done},
         {"todo", done ? "" : text::todo_words(test.step(), name, system.equipment)},
         {"readings", test.counted()},
         {"ready", test.counting() && test.ready()},
         {"wait_s", number(test.counting() && !done ? test.wait().value() : std::nan(""), decimals::second)},
         {"cycles", cycles ? Json(*cycles) : Json(nullptr)},
         {"result", done ? result_json(test.result(), system, name) : Json(nullptr)}});
}

// ---- whether the meter is put in right

struct Done {
    bool skip = false;
    Instant at{};
    double answer = 0.0;
};

std::optional<double> number_in(std::string_view text) {
    double value = 0.0;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
    if (error != std::errc() || end != text.data() + text.size() || !std::isfinite(value)) return std::nullopt;
    return value;
}

/// "1780000000.5;1780000060:65;skip": a moment for each act that was done, and the answer where one is asked for.
std::optional<std::vector<Done>> acts_in(std::string_view text) {
    constexpr std::size_t most = 32;
    std::vector<Done> acts;
    while (!text.empty()) {
        const auto end = std::min(text.find(';'), text.size());
        const auto one = text.substr(0, end);
        text.remove_prefix(std::min(end + 1, text.size()));
        if (acts.size() == most) return std::nullopt;
        if (one == "skip") {
            acts.push_back({.skip = true});
            continue;
        }
        const auto colon = std::min(one.find(':'), one.size());
        const auto at = number_in(one.substr(0, colon));
        const auto answer = colon == one.size() ? std::optional(0.0) : number_in(one.substr(colon + 1));
        if (!at || !answer) return std::nullopt;
        acts.push_back({false, Instant::from_unix(*at), *answer});
    }
    return acts;
}

/// As a person did it. True if the last act is still being measured.
bool run(Commissioning& commissioning, const std::vector<Done>& acts, const std::deque<Reading>& readings) {
    for (std::size_t i = 0; i < acts.size() && commissioning.step(); ++i) {
        if (acts[i].skip) {
            commissioning.skip();
            continue;
        }
        commissioning.begin(acts[i].at, acts[i].answer);
        const bool last = i + 1 == acts.size();
        for (const Reading& reading : readings) {
            const bool over = !last && !acts[i + 1].skip && reading.at >= acts[i + 1].at;
            if (commissioning.ready() || over) break;
            if (reading.at > acts[i].at) commissioning.push(reading);
        }
        if (last && !commissioning.ready()) return true;
        commissioning.next();
    }
    return false;
}

std::string_view word(Ask ask) {
    switch (ask) {
        case Ask::watts:
            return "watts";
        case Ask::amperes:
            return "amperes";
        case Ask::yes_or_no:
            return "yes_or_no";
        case Ask::nothing:
            break;
    }
    return "nothing";
}

Json step_json(const Commissioning& c) {
    const auto step = c.step();
    if (!step) return nullptr;
    return {{"number", static_cast<int>(*step)},
            {"title", commission::title_of(*step)},
            {"expected", commission::expectation_of(*step)},
            {"todo", c.act().todo},
            {"ask", word(c.act().ask)},
            {"question", c.act().question}};
}

Response commissioning_run(const Desk& desk, const Query& query) {
    const auto acts = acts_in(query.find("acts").value_or(""));
    if (!acts)
        return problem(400, "acts must be moments with their answers, or skip, between semicolons: 1780000000:65;skip");
    Commissioning commissioning(desk.live.system());
    const bool measuring = run(commissioning, *acts, desk.recent.readings());
    Json findings = Json::array();
    for (const auto& f : commissioning.findings())
        findings.push_back({{"title", commission::title_of(f.step)},
                            {"verdict", text::verdict_words(f.verdict)},
                            {"seen", text::seen_words(f)},
                            {"meaning", commission::words_of(f.meaning)}});
    return answer_with({{"step", step_json(commissioning)},
                        {"steps", commission::step_count},
                        {"measuring", measuring},
                        {"wait_s", number(measuring ? commissioning.wait().value() : std::nan(""), decimals::second)},
                        {"findings", findings},
                        {"sound", commissioning.sound()}});
}

}  // namespace

void add_trial_api(Routes& routes, const Desk& desk) {
    routes.get("/api/v1/appliances/draw", [&desk](const Request& request) { return draw(desk, request.query); });
    routes.get("/api/v1/commissioning/run",
               [&desk](const Request& request) { return commissioning_run(desk, request.query); });
}

}  // namespace amphora::web

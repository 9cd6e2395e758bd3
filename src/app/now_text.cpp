#include "app/now_text.hpp"

#include <fmt/format.h>

#include <cmath>
#include <nlohmann/json.hpp>

#include "app/standing.hpp"
#include "io/live/live_json.hpp"
#include "io/text/calendar.hpp"
#include "io/text/figure.hpp"

namespace amphora::app {
namespace {

using Json = nlohmann::ordered_json;
using live::number_in;

System system_in(const Json& now) {
    System system;
    const Json& said = now.at("system");
    system.name = said.value("name", "");
    system.battery.reserve = Fraction(number_in(said, "reserve"));
    system.battery.design_capacity = AmpHour(number_in(said, "design_capacity_ah"));
    return system;
}

std::string channel_text(const Json& channel) {
    const std::string unit = channel.value("unit", "");
    const double value = number_in(channel, "value");
    const std::string figure =
        unit.empty() ? fmt::format("{:.0f} %", value * 100) : fmt::format("{:.2f} {}", value, unit);
    return fmt::format("{}{}{}: {}{}", channel.value("of", ""), channel.contains("whose") ? " " : "",
                       channel.value("whose", ""), std::isnan(value) ? "nothing yet" : figure,
                       channel.value("silent", false) ? " (silent)" : "");
}

std::string catching_up_text(const Json& now) {
    if (!now.value("catching_up", false)) return {};
    const bool known = now.at("estimate").is_object();
    return fmt::format("  the record's past is being read since {}: {}\n",
                       text::time_of_day(Instant{now.value("catching_up_since_us", std::int64_t{0})}),
                       known ? "until then how much is left goes by what its newest days say alone"
                             : "how much is left is not known yet, and guards that go by it wait");
}

std::string source_text(const Json& source) {
    const std::string trouble = source.value("trouble", "");
    if (trouble.empty() && source.value("readings", 0) > 0) return {};
    return fmt::format("source {}: {}{}{}\n", source.value("name", ""), source.value("state", ""),
                       trouble.empty() ? "" : ": ", trouble);
}

std::string guard_text(const Json& guard, std::int64_t now_us) {
    const std::string phase = guard.value("phase", "");
    const std::string name = guard.value("name", "");
    if (phase == "tripped" || phase == "clearing") {
        const bool known = guard.contains("since_us") && guard["since_us"].is_number_integer();
        const auto since = [&] { return Instant{guard["since_us"].get<std::int64_t>()}; };
        return fmt::format("  guard \"{}\" is tripped{}: it {}\n", name,
                           known ? " since " + text::moment_near(Instant{now_us}, since()) : "",
                           guard.value("rule", ""));
    }
    const std::string remark = guard.value("remark", "");
    return remark.empty() ? std::string() : fmt::format("  guard \"{}\": {}\n", name, remark);
}

std::string relay_text(const Json& relay) {
    const Json& ordered = relay.at("ordered");
    const Json& confirmed = relay.at("confirmed");
    const std::string trouble = relay.value("trouble", "");
    std::string said;
    if (ordered.is_string() && confirmed.is_string() && ordered != confirmed)
        said = fmt::format("ordered {}, but its read-back says {}", ordered.get<std::string>(),
                           confirmed.get<std::string>());
    if (!trouble.empty()) said += (said.empty() ? "" : "; ") + trouble;
    return said.empty() ? said : fmt::format("  relay {}: {}\n", relay.value("name", ""), said);
}

}  // namespace

std::string untold_text(const Json& guards) {
    const auto untold = guards.value("untold", std::uint64_t{0});
    if (untold == 0) return {};
    const std::string trouble = guards.at("posts").value("trouble", "");
    return fmt::format("  {} not told yet{}\n", text::count_of(untold, "notice"),
                       trouble.empty() ? "" : "; " + trouble);
}

std::string guards_text(const Json& guards, std::int64_t now_us) {
    std::string text;
    for (const Json& guard : guards.at("guards")) text += guard_text(guard, now_us);
    if (text.empty() && !guards.at("guards").empty())
        text = fmt::format("  {}, none tripped\n", text::count_of(guards.at("guards").size(), "guard"));
    for (const Json& relay : guards.at("relays")) text += relay_text(relay);
    return text + untold_text(guards);
}

std::string now_text(const Json& now) {
    std::string text;
    const double age = number_in(now, "age_s");
    const System system = system_in(now);
    text += system.name;
    if (std::isnan(age))
        text += ": no reading yet\n";
    else
        text += fmt::format(", {} ago\n", text::duration(Second(age)));
    if (now.at("estimate").is_object())
        for (const auto& line :
             standing(live::estimate_from(now.at("estimate")), system, std::isnan(age) ? Second(0) : Second(age)))
            text += "  " + line + "\n";
    text += catching_up_text(now);
    for (const Json& channel : now.at("channels"))
        if (channel.value("of", "") != "battery") text += "  " + channel_text(channel) + "\n";
    for (const Json& source : now.at("sources")) {
        const std::string line = source_text(source);
        if (!line.empty()) text += "  " + line;
    }
    for (const std::string& trouble : {now.at("record").value("trouble", ""), now.value("trouble", "")})
        if (!trouble.empty()) text += "  " + trouble + "\n";
    if (!now.at("clock").value("synchronised", false))
        text += "  nothing keeps this computer's clock right: times may be off until something does\n";
    return text;
}

std::string now_line(const Json& now) {
    const Json& battery = now.at("battery");
    const double current = number_in(battery, "current_a");
    const double voltage = number_in(battery, "voltage_v");
    const std::string left = now.at("estimate").is_object()
                                 ? text::figure(live::estimate_from(now.at("estimate")).state_of_charge)
                                 : std::string("?");
    return fmt::format("{}  {:>12}  {:>9}  {:>9}\n", text::time_of_day(Instant{now.value("at_us", std::int64_t{0})}),
                       left, std::isnan(current) ? "-" : fmt::format("{:.2f} A", current),
                       std::isnan(voltage) ? "-" : fmt::format("{:.2f} V", voltage));
}

}  // namespace amphora::app

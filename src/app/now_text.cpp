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

std::string source_text(const Json& source) {
    const std::string trouble = source.value("trouble", "");
    if (trouble.empty() && source.value("readings", 0) > 0) return {};
    return fmt::format("source {}: {}{}{}\n", source.value("name", ""), source.value("state", ""),
                       trouble.empty() ? "" : ": ", trouble);
}

}  // namespace

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
    else if (now.value("catching_up", false))
        text += "  the record's past is still being read: how much is left is not known yet\n";
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

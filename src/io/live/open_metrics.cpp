#include "io/live/open_metrics.hpp"

#include <fmt/format.h>

#include <cmath>
#include <nlohmann/json.hpp>
#include <vector>

#include "io/live/live_json.hpp"

namespace amphora::live {
namespace {

/// Text between quotes in a label: backslash, quote and line end escaped.
std::string label(std::string_view text) {
    std::string out;
    for (const char c : text) {
        if (c == '\\' || c == '"') out += '\\';
        if (c == '\n')
            out += "\\n";
        else
            out += c;
    }
    return out;
}

/// One family of metrics: its head is written only if there is a value.
class Family {
public:
    Family(std::string& out, std::string name, std::string_view unit, std::string_view type, std::string_view help)
        : out_(out), name_(std::move(name)), type_(type) {
        head_ = fmt::format("# TYPE {} {}\n", name_, type);
        if (!unit.empty()) head_ += fmt::format("# UNIT {} {}\n", name_, unit);
        head_ += fmt::format("# HELP {} {}\n", name_, help);
    }
    void put(double value, const std::string& labels = {}) {
        if (!std::isfinite(value)) return;
        out_ += std::exchange(head_, {});
        out_ += fmt::format("{}{}{} {}\n", name_, type_ == "counter" ? "_total" : "",
                            labels.empty() ? "" : "{" + labels + "}", value);
    }

private:
    std::string& out_;
    std::string name_;
    std::string head_;
    std::string_view type_;
};

void estimate(std::string& out, const Json& e) {
    if (!e.is_object()) return;
    const auto both = [&](const std::string& name, std::string_view unit, const char* member, double factor,
                          std::string_view help) {
        const Json& u = e.at(member);
        Family mean(out, name + "_" + std::string(unit), unit, "gauge", help);
        mean.put(number_in(u, "mean") * factor);
        Family sd(out, name + "_sd_" + std::string(unit), unit, "gauge", "Standard deviation of that figure.");
        sd.put(number_in(u, "sd") * factor);
    };
    both("amphora_state_of_charge", "ratio", "state_of_charge", 1.0, "Part of the full-charge capacity that is left.");
    both("amphora_remaining", "coulombs", "remaining_ah", 3600.0, "Charge above the reserve; 3600 C are 1 Ah.");
    both("amphora_full_charge_capacity", "coulombs", "full_charge_capacity_ah", 3600.0,
         "What the battery holds when it is full.");
    Family empty(out, "amphora_time_to_empty_seconds", "seconds", "gauge",
                 "Until the reserve is reached; absent: never, or not known.");
    for (const char* edge : {"low", "likely", "high"})
        empty.put(number_in(e.at("time_to_empty_s"), edge), fmt::format("edge=\"{}\"", edge));
}

void channels(std::string& out, const Json& list) {
    struct Kind {
        const char* measures;
        const char* name;
        const char* unit;
        const char* help;
    };
    for (const Kind& kind :
         {Kind{"current", "amphora_current_amperes", "amperes", "Current, positive into the battery."},
          Kind{"voltage", "amphora_voltage_volts", "volts", "Voltage."},
          Kind{"cell-voltage", "amphora_cell_voltage_volts", "volts", "Voltage of one cell."},
          Kind{"temperature", "amphora_temperature_celsius", "celsius", "Temperature."},
          Kind{"power", "amphora_power_watts", "watts", "Power, positive into the battery."}}) {
        Family family(out, kind.name, kind.unit, "gauge", kind.help);
        for (const Json& c : list) {
            if (c.value("measures", "") != kind.measures || c.value("silent", true)) continue;
            std::string labels =
                fmt::format("of=\"{}\",source=\"{}\"", label(c.value("of", "")), label(c.value("source", "")));
            if (c.contains("whose")) labels += fmt::format(",whose=\"{}\"", label(c.value("whose", "")));
            if (c.contains("cell")) labels += fmt::format(",cell=\"{}\"", c.value("cell", 0));
            family.put(number_in(c, "value"), labels);
        }
    }
}

void sources(std::string& out, const Json& list) {
    struct Count {
        const char* member;
        const char* name;
        const char* help;
    };
    for (const Count& count : {Count{"readings", "amphora_source_readings", "Readings since the recorder started."},
                               Count{"refused", "amphora_source_refused", "Figures that made no sense."},
                               Count{"gaps", "amphora_source_gaps", "Times it was silent for too long."},
                               Count{"errors", "amphora_source_errors", "Connections that failed or broke."},
                               Count{"reconnects", "amphora_source_reconnects", "Times it came back."}}) {
        Family family(out, count.name, "", "counter", count.help);
        for (const Json& s : list)
            family.put(number_in(s, count.member), fmt::format("source=\"{}\"", label(s.value("name", ""))));
    }
}

}  // namespace

std::string open_metrics(const Json& now) {
    std::string out;
    Family(out, "amphora_recorder_up", "", "gauge", "1 while the recorder answers.").put(now.is_object() ? 1 : 0);
    if (now.is_object()) {
        Family(out, "amphora_reading_age_seconds", "seconds", "gauge", "Age of the battery's newest reading.")
            .put(number_in(now, "age_s"));
        channels(out, now.at("channels"));
        estimate(out, now.at("estimate"));
        sources(out, now.at("sources"));
        const Json& record = now.at("record");
        Family(out, "amphora_record_readings", "", "counter", "Readings given to the record.")
            .put(number_in(record, "taken"));
        Family(out, "amphora_record_safe_readings", "", "counter", "Of those, on the device.")
            .put(number_in(record, "safe"));
    }
    return out + "# EOF\n";
}

}  // namespace amphora::live

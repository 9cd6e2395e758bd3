#include "io/live/source_word.hpp"

#include <fmt/format.h>

#include "io/text/figure.hpp"

namespace amphora::live {

std::string_view word(described::SourceKind kind) {
    switch (kind) {
        case described::SourceKind::serial:
            return "serial";
        case described::SourceKind::tcp:
            return "tcp";
        case described::SourceKind::standard_input:
            return "stdin";
        case described::SourceKind::twin:
            return "twin";
        case described::SourceKind::iio:
            return "iio";
        case described::SourceKind::hwmon:
            return "hwmon";
        case described::SourceKind::modbus:
            return "modbus";
        case described::SourceKind::sunspec:
            return "sunspec";
        case described::SourceKind::rvc:
            return "rvc";
        case described::SourceKind::mqtt:
            return "mqtt";
    }
    return "";
}

std::string_view word(Subject subject) {
    switch (subject) {
        case Subject::battery:
            return "battery";
        case Subject::charger:
            return "charger";
        case Subject::appliance:
            return "appliance";
        case Subject::probe:
            return "probe";
    }
    return "";
}

std::string_view word(SourceState state) {
    switch (state) {
        case SourceState::off:
            return "off";
        case SourceState::connecting:
            return "connecting";
        case SourceState::running:
            return "running";
        case SourceState::waiting:
            return "waiting";
    }
    return "";
}

std::string summary(const SourceHealth& health) {
    return fmt::format("{}, {} refused, {}, {}, {}{}", text::count_of(health.readings, "reading"),
                       text::count(health.refused), text::count_of(health.gaps, "gap"),
                       text::count_of(health.errors, "error"), text::count_of(health.reconnects, "reconnect"),
                       health.trouble.empty() ? "" : "; " + health.trouble);
}

}  // namespace amphora::live

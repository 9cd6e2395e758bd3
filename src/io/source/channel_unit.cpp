#include "io/source/channel_unit.hpp"

#include <array>
#include <cmath>
#include <span>

namespace amphora::source {
namespace {

struct Unit {
    std::string_view name;
    UnitConversion to_own;
};

constexpr std::array<Unit, 3> volts{{{"V", {}}, {"mV", {1e-3}}, {"uV", {1e-6}}}};
constexpr std::array<Unit, 3> drops{{{"mV", {1e-3}}, {"uV", {1e-6}}, {"V", {}}}};
constexpr std::array<Unit, 3> amperes{{{"A", {}}, {"mA", {1e-3}}, {"uA", {1e-6}}}};
constexpr std::array<Unit, 3> degrees{{{"C", {}}, {"F", {5.0 / 9.0, -32.0 * 5.0 / 9.0}}, {"K", {1.0, -273.15}}}};
constexpr std::array<Unit, 3> watts{{{"W", {}}, {"mW", {1e-3}}, {"kW", {1e3}}}};
constexpr std::array<Unit, 2> shares{{{"1", {}}, {"%", {1e-2}}}};

std::span<const Unit> units(Measurand measures) {
    switch (measures) {
        case Measurand::current:
            return amperes;
        case Measurand::voltage:
        case Measurand::cell_voltage:
            return volts;
        case Measurand::shunt_drop:
            return drops;
        case Measurand::temperature:
            return degrees;
        case Measurand::power:
            return watts;
        case Measurand::state_of_charge:
            break;
    }
    return shares;
}

}  // namespace

std::optional<UnitConversion> conversion(Measurand measures, std::string_view unit) {
    const auto known = units(measures);
    if (unit.empty()) return known.front().to_own;
    for (const Unit& u : known)
        if (u.name == unit) return u.to_own;
    return std::nullopt;
}

std::string units_of(Measurand measures) {
    std::string text;
    const auto known = units(measures);
    for (std::size_t i = 0; i < known.size(); ++i) {
        if (i > 0) text += i + 1 == known.size() ? " or " : ", ";
        text += known[i].name;
    }
    return text;
}

std::string_view word(Measurand measures) {
    switch (measures) {
        case Measurand::current:
            return "current";
        case Measurand::voltage:
            return "voltage";
        case Measurand::temperature:
            return "temperature";
        case Measurand::shunt_drop:
            return "shunt-drop";
        case Measurand::cell_voltage:
            return "cell-voltage";
        case Measurand::power:
            return "power";
        case Measurand::state_of_charge:
            break;
    }
    return "state-of-charge";
}

std::string_view own_unit(Measurand measures) {
    switch (measures) {
        case Measurand::current:
            return "A";
        case Measurand::temperature:
            return "°C";
        case Measurand::power:
            return "W";
        case Measurand::state_of_charge:
            return "";
        case Measurand::voltage:
        case Measurand::cell_voltage:
        case Measurand::shunt_drop:
            break;
    }
    return "V";
}

bool plausible(Measurand measures, double value) {
    if (!std::isfinite(value)) return false;
    switch (measures) {
        case Measurand::current:
            return std::abs(value) <= 20'000.0;
        case Measurand::temperature:
            return value >= -60.0 && value <= 150.0;
        case Measurand::power:
            return std::abs(value) <= 1e6;
        case Measurand::state_of_charge:
            return value >= 0.0 && value <= 1.0;
        case Measurand::voltage:
            return value >= -1.0 && value <= 2000.0;
        case Measurand::cell_voltage:
            return value >= -1.0 && value <= 6.0;
        case Measurand::shunt_drop:
            break;
    }
    return std::abs(value) <= 2.0;
}

}  // namespace amphora::source

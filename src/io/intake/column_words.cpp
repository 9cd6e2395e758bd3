#include "io/intake/column_words.hpp"

#include <algorithm>
#include <array>
#include <cctype>
#include <span>

namespace amphora::intake {
namespace {

using Words = std::span<const std::string_view>;

/// Words that name a quantity in a header, common practice in the trade and in several languages, no source.
struct Kind {
    Words part;   // anywhere in the name
    Words whole;  // as a word of it
    Words never;  // anywhere: it is something else
    Words never_whole;
};

constexpr std::string_view time_part[] = {"time",  "date", "stamp", "zeit",  "datum", "utc",    "epoch",  "fecha",
                                          "heure", "hora", "tijd",  "clock", "uhr",   "moment", "elapsed"};
constexpr std::string_view time_whole[] = {"ts", "dt", "at"};
constexpr std::string_view time_never[] = {"remaining", "to_",     "to go",    "to full",
                                           "to empty",  "runtime", "run time", "uptime"};
constexpr std::string_view current_part[] = {"current", "strom", "courant", "corriente", "corrente",
                                             "stroom",  "amps",  "ampere",  "amperage",  "intensit"};
constexpr std::string_view current_whole[] = {"i", "a", "amp", "ma", "ibat", "ibatt", "ishunt", "idc", "adc"};
constexpr std::string_view current_never[] = {"hour",    "stunde", "limit", "stamp",    "volt",
                                              "temp",    "power",  "watt",  "capacity", "state",
                                              "percent", "energy", "lamps", "setpoint", "time"};
constexpr std::string_view current_never_whole[] = {"ah",  "mah",  "soc",     "wh",    "max",
                                                    "min", "peak", "highest", "lowest"};
constexpr std::string_view voltage_part[] = {"volt", "spannung", "tension", "spanning", "voltaje", "tensione"};
constexpr std::string_view voltage_whole[] = {"u", "v", "mv", "vbat", "vbatt", "ubat", "ubatt", "vdc", "batv"};
constexpr std::string_view voltage_never[] = {"limit",  "setpoint",   "target", "cell", "delta",
                                              "ripple", "absorption", "float",  "shunt"};
constexpr std::string_view voltage_never_whole[] = {"max", "min", "peak", "highest", "lowest", "midpoint", "mid"};
constexpr std::string_view temperature_part[] = {"temp", "celsius", "fahrenheit"};
constexpr std::string_view temperature_whole[] = {"t", "degc", "degf", "tbat", "tbatt"};
constexpr std::string_view temperature_never[] = {"limit", "compens", "template", "attempt"};
constexpr std::string_view temperature_never_whole[] = {"max", "min", "highest", "lowest"};
constexpr std::string_view power_part[] = {"power", "leistung", "puissance", "potencia", "potenza", "vermogen", "watt"};
constexpr std::string_view power_whole[] = {"p", "w", "kw", "pbat", "pbatt"};
constexpr std::string_view power_never[] = {"hour", "stunde", "limit", "factor", "energy"};
constexpr std::string_view power_never_whole[] = {"wh", "kwh", "max", "min", "peak"};
constexpr std::string_view drop_part[] = {"shunt"};
constexpr std::string_view battery_words[] = {
    "batt", "bat",   "battery", "batterie", "batteria", "bateria", "accu",  "akku", "house", "service",
    "bank", "shunt", "leisure", "vbat",     "vbatt",    "ibat",    "ibatt", "ubat", "tbat",  "hausbatterie"};
constexpr std::string_view other_words[] = {
    "solar", "pv",         "panel", "mppt",    "load",    "loads",   "grid",    "mains", "ac",   "inverter", "starter",
    "start", "alternator", "dcdc",  "charger", "ambient", "outside", "outdoor", "cabin", "room", "cpu",      "cell",
    "board", "usb",        "yield", "engine",  "air",     "aux",     "fridge",  "water", "wind", "generator"};
constexpr std::string_view out_words[] = {"discharging",
                                          "discharge",
                                          "discharged",
                                          "discharg",
                                          "dis",
                                          "out",
                                          "d",
                                          "-",
                                          "entladen",
                                          "entladung",
                                          "entlade",
                                          "draw",
                                          "drawing",
                                          "leaving",
                                          "decharge",
                                          "d\xC3\xA9"
                                          "charge",
                                          "descarga",
                                          "ontladen",
                                          "negative",
                                          "neg",
                                          "consuming"};
constexpr std::string_view in_words[] = {"charging", "charge", "charged",  "in",         "c",    "+",    "laden",
                                         "ladung",   "carga",  "positive", "pos",        "idle", "rest", "resting",
                                         "standby",  "float",  "bulk",     "absorption", "full", "none", "off"};
constexpr std::string_view meter_words[] = {"device",  "meter", "sensor",  "channel", "instance", "serial",  "node",
                                            "monitor", "shunt", "zaehler", "gerät",   "geraet",   "appareil"};

bool among(Words words, std::string_view word) { return std::ranges::find(words, word) != words.end(); }
bool within(Words words, std::string_view name) {
    return std::ranges::any_of(words, [&](auto word) { return name.find(word) != std::string_view::npos; });
}

Kind kind_of(Quantity quantity) {
    switch (quantity) {
        case Quantity::time:
            return {time_part, time_whole, time_never, {}};
        case Quantity::current:
            return {current_part, current_whole, current_never, current_never_whole};
        case Quantity::voltage:
            return {voltage_part, voltage_whole, voltage_never, voltage_never_whole};
        case Quantity::temperature:
            return {temperature_part, temperature_whole, temperature_never, temperature_never_whole};
        case Quantity::power:
            return {power_part, power_whole, power_never, power_never_whole};
        case Quantity::shunt_drop:
            return {drop_part, {}, current_part, {}};
    }
    return {};
}

bool is_word_letter(unsigned char c) { return std::isalnum(c) != 0 || (c >= 0x80 && c != 0xC2 && c != 0xB0); }

/// The words of a name, in lower case: "BattVoltage_mV [avg]" has batt, voltage, mv and avg.
std::vector<std::string> words_of(std::string_view name) {
    std::vector<std::string> words;
    bool in_word = false;
    for (std::size_t i = 0; i < name.size(); ++i) {
        const auto c = static_cast<unsigned char>(name[i]);
        if (!is_word_letter(c)) {
            in_word = false;
            continue;
        }
        const bool hump = i >= 2 && std::isupper(c) != 0 &&
                          std::islower(static_cast<unsigned char>(name[i - 1])) != 0 &&
                          std::islower(static_cast<unsigned char>(name[i - 2])) != 0;
        if (!in_word || hump) words.emplace_back();
        in_word = true;
        words.back() += static_cast<char>(std::tolower(c));
    }
    return words;
}

bool fits_quantity(std::string_view unit, Quantity quantity) {
    constexpr std::string_view current[] = {"a",  "amp",      "amps",      "ampere", "amperes",
                                            "ma", "milliamp", "milliamps", "adc"};
    constexpr std::string_view voltage[] = {"v", "volt", "volts", "mv", "millivolt", "millivolts", "vdc"};
    constexpr std::string_view power[] = {"w", "watt", "watts", "kw", "mw"};
    constexpr std::string_view temperature[] = {"c", "degc", "celsius", "f", "degf", "fahrenheit", "k", "kelvin"};
    switch (quantity) {
        case Quantity::current:
            return among(current, unit);
        case Quantity::voltage:
            return among(voltage, unit);
        case Quantity::power:
            return among(power, unit);
        case Quantity::temperature:
            return among(temperature, unit);
        default:
            return false;
    }
}

}  // namespace

int fit_of(std::string_view name, Quantity quantity) {
    const Kind kind = kind_of(quantity);
    const std::string lower = lower_case(name);
    const auto words = words_of(name);
    const auto any = [&](Words list) {
        return std::ranges::any_of(words, [&](const auto& word) { return among(list, word); });
    };
    if (within(kind.never, lower) || any(kind.never_whole)) return 0;
    int fit = within(kind.part, lower) ? 3 : any(kind.whole) ? 2 : 0;
    if (fit == 0 || quantity == Quantity::time) return fit;
    if (says_battery(name)) fit += 3;
    if (any(other_words)) fit -= 6;
    if (words.size() <= 2) ++fit;
    return fit;
}

Way way_of(std::string_view name) {
    const auto words = words_of(name);
    const auto any = [&](Words list) {
        return std::ranges::any_of(words, [&](const auto& word) { return word.size() > 1 && among(list, word); });
    };
    const std::string lower = lower_case(name);
    constexpr std::string_view out_parts[] = {"discharg", "entlade", "descarga", "decharge"};
    constexpr std::string_view in_parts[] = {"charg", "lade", "carga"};
    if (any(out_words) || within(out_parts, lower)) return Way::out;
    if (words.size() > 1 && words.back() == "in") return Way::in;
    return within(in_parts, lower) ? Way::in : Way::both;
}

std::optional<Unit> unit_in(std::string_view name, Quantity quantity) {
    const auto words = words_of(name);
    for (auto word = words.rbegin(); word != words.rend(); ++word)
        if (fits_quantity(*word, quantity)) return unit_called(*word);
    return std::nullopt;
}

bool names_utc(std::string_view name) {
    const auto words = words_of(name);
    return std::ranges::any_of(words,
                               [](const auto& word) { return word == "utc" || word == "gmt" || word == "zulu"; });
}

bool names_meters(std::string_view name) {
    const auto words = words_of(name);
    return std::ranges::any_of(words, [](const auto& word) { return among(meter_words, word); });
}

bool says_out(std::string_view word) { return among(out_words, lower_case(word)); }
bool says_in(std::string_view word) { return among(in_words, lower_case(word)); }

bool says_battery(std::string_view name) {
    const auto words = words_of(name);
    return std::ranges::any_of(words, [](const auto& word) { return among(battery_words, word); });
}

bool is_unit_cell(std::string_view cell) {
    const std::string lower = lower_case(cell);
    const auto words = words_of(lower);
    if (words.empty()) return true;  // empty, or [-]
    if (words.size() > 2) return false;
    constexpr std::string_view others[] = {"s", "ms",  "sec", "seconds", "ah",  "wh", "kwh", "min",
                                           "h", "utc", "iso", "unix",    "deg", "hz", "ohm"};
    return std::ranges::all_of(words, [&](const auto& w) { return unit_called(w).has_value() || among(others, w); });
}

}  // namespace amphora::intake

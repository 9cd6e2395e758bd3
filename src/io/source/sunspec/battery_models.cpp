#include "io/source/sunspec/battery_models.hpp"

#include <algorithm>

#include "io/source/sunspec/point.hpp"

namespace amphora::sunspec {
namespace {

template <class Q>
Q quantity(std::optional<double> value, double unit = 1.0) {
    return value ? Q(*value * unit) : Q::missing();
}

Fraction percent(std::optional<double> value) { return value ? Fraction(*value / 100.0) : Fraction::missing(); }

BatteryState battery(const Points& points) {
    return {.voltage = quantity<Volt>(points.scaled_unsigned(34, 59)),
            .current = quantity<Ampere>(points.scaled_signed(44, 61)),
            .state_of_charge = percent(points.scaled_unsigned(11, 56)),
            .state_of_health = percent(points.scaled_unsigned(13, 58)),
            .highest_cell = quantity<Volt>(points.scaled_unsigned(37, 60)),
            .lowest_cell = quantity<Volt>(points.scaled_unsigned(40, 60)),
            .heartbeat = points.unsigned16(18)};
}

template <class Q>
void raise(Q& highest, Q value) {
    if (value.known() && !(highest > value)) highest = value;
}
template <class Q>
void lower(Q& lowest, Q value) {
    if (value.known() && !(lowest < value)) lowest = value;
}

constexpr std::size_t first_string = 28;
constexpr std::size_t string_words = 32;
constexpr std::size_t most_strings = 64;

// The strings are in parallel: their currents add up, and are all known or the sum is not.
BatteryState lithium_bank(const Points& points) {
    BatteryState state{.voltage = quantity<Volt>(points.scaled_unsigned(15, 27)),
                       .temperature = quantity<Celsius>(points.scaled_signed(10, 23)),
                       .coldest_module = quantity<Celsius>(points.scaled_signed(7, 23)),
                       .hottest_module = quantity<Celsius>(points.scaled_signed(4, 23))};
    const auto strings = std::min<std::size_t>(points.unsigned16(2).value_or(0), most_strings);
    if (strings == 0) return state;
    Ampere current{};
    Fraction charge{};
    Fraction health{};
    for (std::size_t i = 0; i < strings; ++i) {
        const auto at = first_string + i * string_words;
        current += quantity<Ampere>(points.scaled_signed(at + 6, 24));
        charge += percent(points.scaled_unsigned(at + 4, 26));
        health += percent(points.scaled_unsigned(at + 5, 25));
        const auto highest = quantity<Volt>(points.scaled_unsigned(at + 7, 22));
        const auto lowest = quantity<Volt>(points.scaled_unsigned(at + 9, 22));
        raise(state.highest_cell, highest);
        lower(state.lowest_cell, lowest);
        raise(state.hottest_module, quantity<Celsius>(points.scaled_signed(at + 12, 23)));
        lower(state.coldest_module, quantity<Celsius>(points.scaled_signed(at + 14, 23)));
    }
    state.current = current;
    state.state_of_charge = charge / static_cast<double>(strings);
    state.state_of_health = health / static_cast<double>(strings);
    return state;
}

BatteryState storage(const Points& points) {
    return {.state_of_charge = percent(points.scaled_unsigned(4, 8)),
            .state_of_health = percent(points.scaled_unsigned(5, 8))};
}

template <class Q>
void fill(Q& value, Q other) {
    if (!value.known()) value = other;
}

}  // namespace

std::optional<BatteryState> battery_state(std::uint16_t id, std::span<const Word> words) {
    const Points points(words);
    switch (id) {
        case battery_model:
            return battery(points);
        case lithium_bank_model:
            return lithium_bank(points);
        case storage_model:
            return storage(points);
        default:
            return std::nullopt;
    }
}

BatteryState filled_in(BatteryState first, const BatteryState& second) {
    fill(first.voltage, second.voltage);
    fill(first.current, second.current);
    fill(first.state_of_charge, second.state_of_charge);
    fill(first.state_of_health, second.state_of_health);
    fill(first.temperature, second.temperature);
    fill(first.coldest_module, second.coldest_module);
    fill(first.hottest_module, second.hottest_module);
    fill(first.highest_cell, second.highest_cell);
    fill(first.lowest_cell, second.lowest_cell);
    if (!first.heartbeat) first.heartbeat = second.heartbeat;
    return first;
}

}  // namespace amphora::sunspec

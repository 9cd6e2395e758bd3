// What the battery and storage models of SunSpec say: 802 (battery), 803 (bank of lithium strings), 713 (storage).
//
// Source: the tables of the models in sunspec/models (commit 7abdf898). The order inside the groups of cell voltages of
// 802, of module temperatures and of string values of 803 is from memory.
#pragma once

#include <cstdint>
#include <optional>
#include <span>

#include "core/quantity/quantity.hpp"
#include "io/source/modbus/register_value.hpp"

namespace amphora::sunspec {

using modbus::Word;

constexpr std::uint16_t battery_model = 802;
constexpr std::uint16_t lithium_bank_model = 803;
constexpr std::uint16_t storage_model = 713;

/// What a model says of the battery; what it does not say is missing().
struct BatteryState {
    Volt voltage = Volt::missing();
    Ampere current = Ampere::missing();  // with the device's own sign: the models do not state one
    Fraction state_of_charge = Fraction::missing();
    Fraction state_of_health = Fraction::missing();
    Celsius temperature = Celsius::missing();  // mean of the modules
    Celsius coldest_module = Celsius::missing();
    Celsius hottest_module = Celsius::missing();
    Volt highest_cell = Volt::missing();
    Volt lowest_cell = Volt::missing();
    std::optional<std::uint16_t> heartbeat{};  // counts seconds: one that stands still says that the data are frozen
};

/// The state by one model; nothing if `id` is none of the three. `words` begin with the model's ID.
[[nodiscard]] std::optional<BatteryState> battery_state(std::uint16_t id, std::span<const Word> words);

/// `first` with what it does not say filled in from `second`.
[[nodiscard]] BatteryState filled_in(BatteryState first, const BatteryState& second);

}  // namespace amphora::sunspec

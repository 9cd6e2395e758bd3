// The RV-C messages about batteries, chargers, disconnects and loads, as quantities.
//
// Source: the data groups of the RV-C full layer, chapter 6, known from texts that quote or transcribe it; each layout
// stands in at least two of them unless "one source" is said. Current is positive into the battery here; on the bus a
// positive current of a DC source flows out of it (table 6.5.2b), so that its sign is turned. What a message does not
// say is missing().
#pragma once

#include <chrono>
#include <cstdint>
#include <expected>
#include <optional>
#include <string_view>
#include <variant>
#include <vector>

#include "core/quantity/quantity.hpp"
#include "io/source/rvc/can_frame.hpp"
#include "io/source/rvc/identifier.hpp"

namespace amphora::rvc {

/// Which device of its kind: of DC sources 1 is the main house bank, 2 the starter battery, 3 the second house bank. 0
/// is invalid.
using Instance = std::uint8_t;

/// 1FFFDh: voltage in steps of 0.05 V, too coarse for rest voltages, and current.
struct DcSource1 {
    Instance instance = 0;
    std::uint8_t priority = 0;  // of the device: 120 battery monitor, 100 inverter, 80 charger, 40 and 20 plain meters
    Volt voltage;
    Ampere current;
};

/// 1FFFCh.
struct DcSource2 {
    Instance instance = 0;
    std::uint8_t priority = 0;
    Celsius temperature;
    Fraction state_of_charge;
    Second remaining = Second::missing();
    bool until_full = false;  // what `remaining` counts down to: full, or else empty
};

/// 1FFFBh.
struct DcSource3 {
    Instance instance = 0;
    std::uint8_t priority = 0;
    Fraction state_of_health;
    AmpHour remaining = AmpHour::missing();
    Fraction relative_capacity;
    Volt ripple = Volt::missing();
};

/// What a charger is doing, or is asked to do, as in 1FFC7h byte 6.
enum class ChargerState : std::uint8_t { undefined, idle, bulk, absorption, overcharge, equalise, floating, constant };

/// 1FEC9h: how the battery wants to be charged. The battery type in it has two conflicting lists: left alone.
struct DcSource4 {
    Instance instance = 0;
    std::uint8_t priority = 0;
    std::optional<ChargerState> wanted;
    Volt voltage;
    Ampere current;
};

/// 1FEC8h: voltage in steps of 1 mV.
struct DcSource5 {
    Instance instance = 0;
    std::uint8_t priority = 0;
    Volt voltage;
};

/// 1FEC7h: what the battery's own protection says; each is nothing if it does not know.
struct DcSource6 {
    Instance instance = 0;
    std::uint8_t priority = 0;
    std::optional<bool> voltage_high;
    std::optional<bool> off_for_high_voltage;
    std::optional<bool> voltage_low;
    std::optional<bool> off_for_low_voltage;
};

/// 1FED0h. Which code means "connected" is not known for sure: the code is passed on as it is.
struct DcDisconnect {
    Instance instance = 0;
    std::optional<std::uint8_t> circuit;
};

/// 1FFC7h, and 1FEB3h of a solar controller (one source): what it wants, not what it measures.
struct ChargerWish {
    Instance instance = 0;
    bool solar = false;
    Volt voltage;
    Ampere current;
    Fraction of_most = Fraction::missing();
    std::optional<ChargerState> state;
};

/// 1FEA3h, and 1FE80h of a solar controller (one source): what it measures at its output. Positive current charges.
struct ChargerOutput {
    Instance instance = 0;
    bool solar = false;
    std::optional<Instance> battery;  // the DC source that it charges
    Volt voltage;
    Ampere current;
    Celsius temperature = Celsius::missing();
};

/// 1FDFFh (one source).
struct SolarArray {
    Instance instance = 0;
    Volt voltage;
    Ampere current;
};

/// 1FFBDh; current into the load.
struct DcLoad {
    Instance instance = 0;
    Fraction level;
    Ampere current;
};

/// 1FFFFh. The year counts from 2000 (from memory); the zone, of which the sources say nothing, is left to the reader.
struct DateTime {
    std::chrono::year_month_day date;
    std::chrono::seconds of_day{};
};

using Message = std::variant<DcSource1, DcSource2, DcSource3, DcSource4, DcSource5, DcSource6, DcDisconnect,
                             ChargerWish, ChargerOutput, SolarArray, DcLoad, DateTime>;

enum class NoMessage : std::uint8_t {
    other_group,  // a sound frame of no interest here
    not_data,     // remote or error frame, or one of 11 bits
    truncated,    // fewer bytes than the group has
    invalid       // instance 0, or a date that no calendar has
};

/// The message in a frame; or why there is none.
[[nodiscard]] std::expected<Message, NoMessage> message_in(const CanFrame& frame);

/// Every group that message_in() reads.
[[nodiscard]] std::vector<Dgn> known_groups();

/// What a person may call the group: "DC source status 1"; empty for one that is not known.
[[nodiscard]] std::string_view name_of(Dgn dgn);

}  // namespace amphora::rvc

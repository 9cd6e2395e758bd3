// What the description says of protection: the rules that are watched, the relays that they switch and the notices that
// they send. Kept as it stands in the file; core/guard makes rules of it.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "core/quantity/quantity.hpp"
#include "core/system/live.hpp"

namespace amphora {

/// A level of whatever a guard watches, in that quantity's unit: V, A, a share of 1, degrees Celsius, seconds or hours.
using Level = Quantity<struct LevelTag>;

/// What a guard can watch. Currents are magnitudes in the direction that the name says.
enum class Watched {
    voltage,
    unloaded_voltage,  // the voltage as it would be without the present current
    current_in,
    current_out,
    reverse_current,  // out of the battery into something that should only give
    state_of_charge,
    lowest_state_of_charge,  // lower edge of the 90 % band
    temperature,
    cell_spread,  // highest cell less lowest
    silence,      // time since the last reading
    time_to_empty
};

/// How long a level may be passed, by how far.
enum class TimeCurve { definite, standard_inverse, very_inverse, extremely_inverse, undervoltage_inverse };

namespace described {

struct Guard {
    std::string name;
    Watched watch = Watched::voltage;
    std::string of;  // a charger, appliance or probe (of silence: a source); empty: the battery
    Level trip_below = Level::missing();
    Level trip_above = Level::missing();
    Second trip_after{};
    Level clear_above = Level::missing();
    Level clear_below = Level::missing();
    Second clear_after{};
    bool latches = false;  // stays tripped until a person clears it
    TimeCurve curve = TimeCurve::definite;
    double time_multiplier = 1.0;
    Ohm resistance = Ohm::missing();  // by which the unloaded voltage is reckoned
    bool urgent = false;              // does not wait for quiet hours or minimum times
    std::vector<Hour> quiet;          // clock hours, from and to
    std::string relay;
    std::vector<std::string> notices;
    std::vector<std::string> run;  // a program and its arguments
    Second run_limit{10.0};
};

enum class RelayKind { gpio, modbus, mqtt, rehearsal };
enum class Switches { loads, charging, other };
enum class WhenBlind { on, off, hold };

struct Relay {
    std::string name;
    RelayKind kind = RelayKind::rehearsal;
    Switches switches = Switches::other;
    bool normally_on = true;  // while no guard holds it
    WhenBlind when_blind = WhenBlind::hold;
    Second blind_after{30.0};
    Second least_on{};
    Second least_off{};
    Second confirm_within{5.0};
    std::string at;  // gpio: the chip; modbus: host:port or a serial device; mqtt: the topic that it listens to
    int line = 0;    // gpio
    bool active_low = false;
    int confirm_line = -1;      // gpio: the line that reads the contact back
    int unit = 1;               // modbus
    int coil = 0;               // modbus, counted from 0
    bool confirm_coil = true;   // modbus: read the coil back
    std::string confirm_topic;  // mqtt: where it says how it stands
    std::string payload_on = "on";
    std::string payload_off = "off";
    SerialLine serial;
};

enum class NoticeKind { mqtt, http };

struct Notice {
    std::string name;
    NoticeKind kind = NoticeKind::http;
    std::string to;          // a topic, or a URL
    std::string token_file;  // http: a file whose content is sent as a bearer token
};

}  // namespace described

struct Protection {
    std::vector<described::Guard> guards;
    std::vector<described::Relay> relays;
    std::vector<described::Notice> notices;
};

}  // namespace amphora

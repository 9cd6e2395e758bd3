// What the description says of live operation: the sources that readings come from, and what each of their channels
// measures. Kept as it stands in the file; io/live makes sources of it.
#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "core/quantity/quantity.hpp"
#include "core/system/register.hpp"

namespace amphora {

/// What a channel measures. Values are in V, A, degrees Celsius, W, or a share of 1.
enum class Measurand { current, voltage, temperature, shunt_drop, cell_voltage, power, state_of_charge };

/// Of what it is measured: the battery as a whole, one charger or appliance, or a place with a probe.
enum class Subject { battery, charger, appliance, probe };

namespace described {

enum class SourceKind { serial, tcp, standard_input, twin, iio, hwmon, modbus, sunspec, rvc, mqtt };
enum class LineFormat { json, pattern };
enum class Parity { none, even, odd };

/// A serial line, for text and for Modbus RTU.
struct SerialLine {
    int baud = 9600;
    Parity parity = Parity::none;
};

/// How lines of text are understood: kinds serial, tcp and standard_input.
struct Lines {
    LineFormat format = LineFormat::json;
    std::string pattern;  // "V={v} I={i}": braces hold the field of a channel
};

/// An invented van in place of a meter.
struct TwinSource {
    int seed = 1;
};

/// A device on a Modbus line: kinds modbus and sunspec.
struct ModbusDevice {
    int number = 1;   // unit identifier
    int bridged = 0;  // registers that nobody wants, read along to save a request
    Second timeout{0.5};
};

/// Which of the messages on an RV-C bus a channel is taken from.
enum class BusMessage { dc_source, charger, solar, solar_array, load };

struct Source {
    std::string name;
    SourceKind kind = SourceKind::serial;
    std::string at;  // device, host:port, folder, topic: by kind
    Second interval{1.0};
    Second silent_after = Second::missing();  // without a reading for so long it counts as silent
    SerialLine serial;
    Lines lines;
    TwinSource twin;
    ModbusDevice modbus;
    std::string root = "/sys";  // kinds iio and hwmon: where sysfs is
    std::string meter;          // kinds iio and hwmon: whose shunt the driver reckons with; empty: the first

    /// The age at which a reading is too old to act on: as described, or five intervals and at least five seconds.
    [[nodiscard]] Second patience() const {
        if (silent_after.known()) return silent_after;
        return interval * 5.0 < Second(5.0) ? Second(5.0) : interval * 5.0;
    }
};

/// One figure among those that a source gives.
struct Channel {
    std::size_t source = 0;  // index of its source
    Measurand measures = Measurand::current;
    Subject of = Subject::battery;
    std::string whose;  // name of the charger, appliance or probe; of a shunt drop: of the meter
    std::string field;  // where it stands in what the source gives: a key, a JSON pointer, a register; by kind
    std::string unit;   // as the source gives it; empty: the measurand's own
    double scale = 1.0;
    double offset = 0.0;                         // in `unit`, added after scaling
    bool positive_charging = true;               // of currents and powers: which way the source counts as positive
    int cell = 1;                                // of cell voltages: which one, from 1
    Register spot;                               // kind modbus
    BusMessage message = BusMessage::dc_source;  // kind rvc
    int instance = 1;                            // kind rvc: which device of its kind
    std::string topic;                           // kind mqtt; empty: that of the source
};

/// The message broker that sources, outputs and actions share.
struct Broker {
    std::string host;  // empty: there is none
    int port = 1883;
    std::string user;
    std::string password_file;
    bool publish = true;  // tell the broker's other clients what is measured (Homie 5)
    std::string domain = "homie";
};

}  // namespace described

/// Everything of a description that only live operation cares about.
struct Live {
    Second durability{60.0};  // most that a power cut may cost
    std::vector<described::Source> sources;
    std::vector<described::Channel> channels;  // of all sources, those of a source together and in order
    described::Broker broker;
};

}  // namespace amphora

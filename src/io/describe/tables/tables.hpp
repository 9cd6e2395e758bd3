// The parts of the table of keys, one file per subject. A new subject is a new file here and a line in tables.cpp.
#pragma once

#include "io/describe/key.hpp"

namespace amphora::describe {

[[nodiscard]] std::vector<Table> system_tables();     // the top of the file, [system], [place]
[[nodiscard]] std::vector<Table> battery_tables();    // [battery] and what is in it
[[nodiscard]] std::vector<Table> meter_tables();      // [[meter]]
[[nodiscard]] std::vector<Table> appliance_tables();  // [[appliance]]
[[nodiscard]] std::vector<Table> circuit_tables();    // [[circuit]]
[[nodiscard]] std::vector<Table> inverter_tables();   // [[inverter]]
[[nodiscard]] std::vector<Table> charger_tables();    // [[charger]]
[[nodiscard]] std::vector<Table> climate_tables();    // [climate], [[stay]]
[[nodiscard]] std::vector<Table> wish_tables();       // [wishes]
[[nodiscard]] std::vector<Table> source_tables();     // [[source]], [[source.channel]]
[[nodiscard]] std::vector<Table> live_tables();       // [live], [broker]
[[nodiscard]] std::vector<Table> guard_tables();      // [[guard]], [[relay]], [[notice]]

[[nodiscard]] std::vector<Key> bank_keys();    // of [battery], for the plan
[[nodiscard]] std::vector<Key> shunt_keys();   // of [[meter]], for the plan
[[nodiscard]] std::vector<Key> device_keys();  // of [[source]]: sysfs and Modbus
[[nodiscard]] std::vector<Key> spot_keys();    // of [[source.channel]]: registers, RV-C messages, MQTT topics
[[nodiscard]] std::vector<Key> line_keys();    // of [[source]]: lines of text, and the twin

}  // namespace amphora::describe

// The parts of the table of keys, one file per subject. A new subject is a new file here and a line in tables.cpp.
#pragma once

#include "io/describe/key.hpp"

namespace amphora::describe {

[[nodiscard]] std::vector<Table> system_tables();   // the top of the file, [system], [place]
[[nodiscard]] std::vector<Table> battery_tables();  // [battery] and what is in it
[[nodiscard]] std::vector<Table> meter_tables();    // [[meter]]

}  // namespace amphora::describe

// A serial port has one speed and one kind of talk, whoever uses it.
#pragma once

#include "io/describe/draft.hpp"

namespace amphora::describe {

/// Adds a mistake for each source or relay that would use a serial port otherwise than another before it does: at
/// another baud rate or parity, or for lines of text where the other speaks Modbus.
void check_serial_lines(Draft& draft);

}  // namespace amphora::describe

// A relay that is a coil of a Modbus device, over TCP or a serial line.
#pragma once

#include <memory>

#include "io/sink/relay.hpp"

namespace amphora::live {

/// The relay as described, not yet connected: that is done at the first order, and anew after an error. On a serial
/// line it shares the master with the sources there.
[[nodiscard]] std::unique_ptr<sink::RelayWire> modbus_wire(const described::Relay& relay);

}  // namespace amphora::live

// What sysfs, Modbus, SunSpec, RV-C and MQTT sources need, and what they cannot give.
#pragma once

#include "io/describe/draft.hpp"

namespace amphora::describe {

void check_devices(Draft& draft);

}  // namespace amphora::describe

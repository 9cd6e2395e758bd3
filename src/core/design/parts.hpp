// What has to be bought.
#pragma once

#include <string>
#include <vector>

#include "core/design/plan.hpp"

namespace amphora::design {

struct Part {
    std::string name;
    std::string quantity;
    Money price = Money::missing();  // of all of them
};

/// Battery, chargers, inverter, shunt, then cable by size (both wires, a tenth to spare) and fuses by kind and rating.
[[nodiscard]] std::vector<Part> parts_of(const Plan& plan);

}  // namespace amphora::design

// What a person sets and tries when the system is put to work, in generic words.
#pragma once

#include <string>
#include <vector>

#include "core/design/plan.hpp"

namespace amphora::document {

struct Setting {
    std::string what;
    std::string value;
    std::string why;
};

/// For the meter and each charger.
[[nodiscard]] std::vector<Setting> meter_settings(const design::Plan& plan, const System& system);

/// In the order in which they are done.
[[nodiscard]] std::vector<std::string> commissioning_steps(const design::Plan& plan);

}  // namespace amphora::document

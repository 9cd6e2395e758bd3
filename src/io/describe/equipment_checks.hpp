// What must hold between the keys of appliances, circuits, chargers and the weather.
#pragma once

#include "io/describe/draft.hpp"

namespace amphora::describe {

/// Adds a mistake for each name that leads nowhere, each size that does not exist, each list of the wrong length.
void check_equipment(Draft& draft);

}  // namespace amphora::describe

// What must hold between the keys of a description.
#pragma once

#include "io/describe/draft.hpp"

namespace amphora::describe {

/// Adds a mistake for each contradiction. A key that is already mistaken is not judged again.
void check_together(Draft& draft);

}  // namespace amphora::describe

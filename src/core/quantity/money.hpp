// A price in whatever currency the description uses; amounts of different currencies are never mixed in one
// description.
#pragma once

#include "core/quantity/quantity.hpp"

namespace amphora {

using Money = Quantity<struct MoneyTag>;

}  // namespace amphora

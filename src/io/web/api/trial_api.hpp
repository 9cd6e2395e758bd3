// Tests that a person is led through on the page: what one appliance draws, and whether the meter is put in right. The
// page says what was done when; what it means is reckoned here, by the same code as at the terminal, from the readings
// that came. Nothing is kept of a test between two questions.
#pragma once

#include "io/web/api/desk.hpp"

namespace amphora::web {

void add_trial_api(Routes& routes, const Desk& desk);

}  // namespace amphora::web

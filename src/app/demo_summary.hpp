// How the invented van stands, in words.
#pragma once

#include <string>

#include "app/demo_van.hpp"

namespace amphora::app {

/// A few lines: what is left and how sure that is, how long it lasts, what was learned, and how wrong it is. Times are
/// UTC.
std::string demo_summary(const DemoVan& van, Second lived);

}  // namespace amphora::app

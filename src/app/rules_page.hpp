// The reference page of the design rules, as Markdown.
#pragma once

#include <string>

namespace amphora::app {

/// Every rule with its limit and source, the figures of each chemistry and each kind of fuse.
[[nodiscard]] std::string rules_page();

}  // namespace amphora::app

// Instances of a table as a person would write them: only what differs from its defaults.
#pragma once

#include <string>
#include <string_view>

#include "core/system/system.hpp"

namespace amphora::describe {

/// `[[guard]]` and its keys, for one instance of a repeated table of a system. Ends with a line break.
[[nodiscard]] std::string table_text(const System& system, std::string_view table, std::size_t index);

}  // namespace amphora::describe

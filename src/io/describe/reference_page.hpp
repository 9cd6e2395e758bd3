// The page of all keys, made from the table that validates them.
#pragma once

#include <string>

namespace amphora::describe {

/// Markdown; the committed copy is docs/reference/system-toml.md.
[[nodiscard]] std::string reference_page();

}  // namespace amphora::describe

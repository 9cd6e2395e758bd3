// Guards the TOML library against keys with absurdly many parts (a.a.a.a...): it builds one nested table for each and
// takes them down by recursion, which overflows the stack at about a hundred thousand.
#pragma once

#include <optional>
#include <string_view>

#include "io/describe/mistake.hpp"

namespace amphora::describe {

/// Most dots allowed in one key.
constexpr int most_dots = 32;

/// Where the text first has a key with more than `most_dots` dots, comments and strings passed over; nothing if
/// nowhere.
[[nodiscard]] std::optional<Position> too_deep_key(std::string_view text);

}  // namespace amphora::describe

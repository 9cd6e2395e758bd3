// How the parts of a message are said.
#pragma once

#include <span>
#include <string>
#include <string_view>

#include "io/describe/document.hpp"
#include "io/describe/key.hpp"

namespace amphora::describe {

/// Text fit for a terminal: control characters escaped, cut after about `most` characters.
[[nodiscard]] std::string printable(std::string_view text, std::size_t most = 40);

/// `one of "a", "b" or "c"`.
[[nodiscard]] std::string one_of(std::span<const std::string_view> words);

/// What a key wants: `a number from 0.1 to 100000 (Ah)`, `one of "agm", ...`.
[[nodiscard]] std::string wanted(const Key& key);

/// What stands there: `"lifepo"`, `12`, `a list`, `a table`.
[[nodiscard]] std::string found(const Node& node);

/// A value as a person reads it: `200 Ah`, `lfp`, `12 values`.
[[nodiscard]] std::string value_text(const Value& value, std::string_view unit);

/// `; did you mean "chemistry"?`, or nothing if no known word is near.
[[nodiscard]] std::string did_you_mean(std::string_view word, std::span<const std::string_view> known);

}  // namespace amphora::describe

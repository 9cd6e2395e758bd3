// Adds to a description without touching anything else in it: comments, order and spacing stay as the person wrote
// them.
#pragma once

#include <string>
#include <string_view>

namespace amphora::describe {

/// A key and its value, ready to be written: {"cable_mm2", "16"}, {"name", "\"pump\""}.
struct NewKey {
    std::string name;
    std::string value;
};

/// Text in quotes, with what TOML wants escaped.
[[nodiscard]] std::string quoted(std::string_view text);

/// Puts `key = value` behind the line `name = "..."` of the [[table]] of that name. The text comes back unchanged where
/// there is no such table, or where the key is already there. A table without a name is found by its kind ("inverter").
[[nodiscard]] std::string with_key(std::string_view text, std::string_view table, std::string_view name,
                                   const NewKey& key);

/// The same, but a value that is there already is replaced; a comment behind it stays.
[[nodiscard]] std::string with_value(std::string_view text, std::string_view table, std::string_view name,
                                     const NewKey& key);

/// True if a [[table]] of that name already has that key.
[[nodiscard]] bool has_key(std::string_view text, std::string_view table, std::string_view name, std::string_view key);

}  // namespace amphora::describe

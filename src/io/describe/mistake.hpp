// A mistake in a description: where it is, which key, what was expected and what was found.
#pragma once

#include <compare>
#include <cstdint>
#include <string>
#include <string_view>

namespace amphora::describe {

/// A place in the text: line and column count from 1, columns in characters. Line 0 is the file as a whole.
struct Position {
    std::uint32_t line = 0;
    std::uint32_t column = 0;

    auto operator<=>(const Position&) const = default;
};

struct Mistake {
    std::uint32_t line = 0;  // 0: the file itself could not be read
    std::uint32_t column = 0;
    std::string
        path;  // the key, "battery.chemistry"; the second [[meter]] is "meter[2]"; empty for the file as a whole
    std::string message;

    bool operator==(const Mistake&) const = default;
};

/// One line for a person: `van.toml:12:5: battery.chemistry: expected ..., found ...`.
[[nodiscard]] std::string to_text(const Mistake& mistake, std::string_view file);

/// True if the file could not be opened or read at all, so that nothing is known about what it says.
[[nodiscard]] inline bool is_unreadable(const Mistake& mistake) { return mistake.line == 0; }

}  // namespace amphora::describe

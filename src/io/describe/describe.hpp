// The door for system.toml: text in, a validated System out, or every mistake at once.
//
// One table of keys (tables/*.cpp) says what may stand in the file; it drives the checks, the defaults, the suggestions
// and the reference page. A key is added by adding a row there.
#pragma once

#include <expected>
#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

#include "core/system/system.hpp"
#include "io/describe/mistake.hpp"

namespace amphora::describe {

/// A description longer than this is refused.
constexpr std::size_t longest_description = std::size_t{1} << 20;

/// Something that was taken for granted because the file does not say it.
struct Note {
    std::string path;   // the key
    std::string value;  // what was assumed, with its unit
    std::string why;

    bool operator==(const Note&) const = default;
};

struct Described {
    System system;
    std::vector<Note> notes;
};

using Mistakes = std::vector<Mistake>;  // sorted by position

/// Reads a description from its text (at most `longest_description` bytes of UTF-8). Touches nothing outside.
[[nodiscard]] std::expected<Described, Mistakes> describe_text(std::string_view text);

/// Reads a description from a file. A file that cannot be read gives one mistake with line 0.
[[nodiscard]] std::expected<Described, Mistakes> describe_file(const std::filesystem::path& file);

}  // namespace amphora::describe

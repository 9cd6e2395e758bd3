// Small text files, read and replaced as a whole.
#pragma once

#include <expected>
#include <string>

namespace amphora::app {

/// The whole file; nothing where it cannot be read.
[[nodiscard]] std::string whole_text(const std::string& file);

/// Puts the text in the file's place, in full or not at all. The error is a sentence.
[[nodiscard]] std::expected<void, std::string> replace_text(const std::string& file, const std::string& text);

}  // namespace amphora::app

// The description's file as the page reads and saves it: never half written, never over another's change.
#pragma once

#include <expected>
#include <filesystem>
#include <string>
#include <string_view>

#include "io/describe/describe.hpp"

namespace amphora::web {

struct SaveFault {
    enum class Kind { changed, mistaken, unwritable } kind = Kind::unwritable;
    std::string sentence;  // what is wrong and what to do
};

class DescriptionFile {
public:
    explicit DescriptionFile(std::filesystem::path file) : file_(std::move(file)) {}

    /// The text of the file; empty when there is none yet.
    [[nodiscard]] std::string text() const;

    /// A mark of a text: another one when anything in it changed.
    [[nodiscard]] static std::string mark_of(std::string_view text);

    /// Puts `text` in the file's place, if that still has the mark that the change began with and if there is no
    /// mistake in it. What was there before is kept beside it, its name ending in ".before". Refused where a guard
    /// would run another program than so far: that is for those who may edit the file itself.
    [[nodiscard]] std::expected<describe::Described, SaveFault> save(const std::string& text, std::string_view mark);

    [[nodiscard]] const std::filesystem::path& file() const { return file_; }

private:
    std::filesystem::path file_;
};

}  // namespace amphora::web

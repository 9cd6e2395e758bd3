// What a line of text looks like, as a person writes it down: "V={v} I={i} *".
#pragma once

#include <expected>
#include <functional>
#include <string>
#include <string_view>
#include <vector>

namespace amphora::source {

/// A pattern: braces stand for a number and name it, `*` for anything up to what follows, a blank for any blanks or
/// none, everything else for itself. What comes behind the pattern's end is ignored.
class LinePattern {
public:
    /// Fails with a sentence: a brace that is not closed, no field at all, a field twice.
    [[nodiscard]] static std::expected<LinePattern, std::string> from(std::string_view text);

    /// Called with the number of a field (its place in fields()) and what stood there.
    using Found = std::function<void(std::size_t field, double value)>;

    /// True if the whole line is as the pattern says; `found` is only called then.
    bool match(std::string_view line, const Found& found) const;

    [[nodiscard]] const std::vector<std::string>& fields() const { return fields_; }

private:
    struct Part {
        enum class Kind { literal, blanks, anything, number } kind;
        std::string text;
    };
    bool match_from(std::size_t part, std::string_view rest, std::vector<double>& values) const;

    std::vector<Part> parts_;
    std::vector<std::string> fields_;
};

}  // namespace amphora::source

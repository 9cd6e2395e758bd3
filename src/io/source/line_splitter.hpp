// Cuts a stream of bytes into lines, in blocks of 1 MiB and without an allocation per line.
#pragma once

#include <cstring>
#include <memory>
#include <optional>
#include <string_view>

#include "io/source/byte_input.hpp"

namespace amphora::source {

/// Longer lines are not read: a log's line has some tens of bytes, and a file without line ends is no log.
constexpr std::size_t longest_line = std::size_t{64} * 1024;

class LineSplitter {
public:
    explicit LineSplitter(ByteInput& input);

    /// Gives the next line without its end (LF or CRLF); valid until the next call. A line that is longer than
    /// `longest_line` comes cut to that length with too_long(). False at the end of the input, or on an error().
    bool next(std::string_view& line) {
        if (const auto* end = static_cast<const char*>(std::memchr(at_, '\n', static_cast<std::size_t>(end_ - at_)))) {
            line = cut(end);
            at_ = end + 1;
            return true;
        }
        return next_after_refill(line);
    }

    [[nodiscard]] bool too_long() const { return too_long_; }
    /// The number of the line given last; the first is 1.
    [[nodiscard]] std::uint64_t number() const { return number_; }
    [[nodiscard]] std::uint64_t bytes_read() const { return bytes_read_; }
    [[nodiscard]] const std::optional<SourceError>& error() const { return error_; }

private:
    std::string_view cut(const char* end) {
        ++number_;
        auto length = static_cast<std::size_t>(end - at_);
        too_long_ = length > longest_line;
        if (too_long_) length = longest_line;
        if (length > 0 && at_[length - 1] == '\r') --length;
        return {at_, length};
    }
    bool next_after_refill(std::string_view& line);
    bool refill();
    void skip_to_line_end();

    ByteInput* input_;
    std::unique_ptr<char[]> buffer_;
    const char* at_;
    const char* end_;
    std::uint64_t number_ = 0;
    std::uint64_t bytes_read_ = 0;
    bool too_long_ = false;
    bool skip_rest_ = false;  // of a line that was given already, cut
    std::optional<SourceError> error_;
};

}  // namespace amphora::source

#include "io/source/line_splitter.hpp"

#include <span>

namespace amphora::source {
namespace {
constexpr std::size_t block = std::size_t{1024} * 1024;
}  // namespace

LineSplitter::LineSplitter(ByteInput& input)
    : input_(&input),
      buffer_(std::make_unique_for_overwrite<char[]>(block + longest_line)),
      at_(buffer_.get()),
      end_(buffer_.get()) {}

// Reads a block behind what is left of the last one, which must be no longer than the longest line.
bool LineSplitter::refill() {
    const auto left = static_cast<std::size_t>(end_ - at_);
    std::memmove(buffer_.get(), at_, left);
    at_ = buffer_.get();
    end_ = at_ + left;
    const auto got = input_->read(std::span(buffer_.get() + left, block + longest_line - left));
    if (!got) error_ = got.error();
    if (!got || *got == 0) return false;
    bytes_read_ += *got;
    end_ += *got;
    return true;
}

void LineSplitter::skip_to_line_end() {
    do {
        if (const auto* end = static_cast<const char*>(std::memchr(at_, '\n', static_cast<std::size_t>(end_ - at_)))) {
            at_ = end + 1;
            skip_rest_ = false;
            return;
        }
        at_ = end_;
    } while (refill());
}

bool LineSplitter::next_after_refill(std::string_view& line) {
    if (error_) return false;
    if (skip_rest_) {
        skip_to_line_end();
        if (!skip_rest_) return next(line);
        return false;
    }
    auto searched = static_cast<std::size_t>(end_ - at_);
    while (searched <= longest_line && refill()) {
        const auto* fresh = at_ + searched;
        const auto* end = static_cast<const char*>(std::memchr(fresh, '\n', static_cast<std::size_t>(end_ - fresh)));
        if (end != nullptr) {
            line = cut(end);
            at_ = end + 1;
            return true;
        }
        searched = static_cast<std::size_t>(end_ - at_);
    }
    if (error_ || searched == 0) return false;
    line = cut(end_);
    skip_rest_ = searched > longest_line;
    at_ = end_;
    return true;
}

}  // namespace amphora::source

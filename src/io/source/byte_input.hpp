// Where bytes come from: the one seam between the log readers and the world, so that tests can put a faulty twin there.
#pragma once

#include <cstdint>
#include <expected>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>

#include "io/source/source_error.hpp"

namespace amphora::source {

/// A stream of bytes, read once from front to back.
class ByteInput {
public:
    virtual ~ByteInput() = default;

    /// Fills the front of `room` and returns how many bytes that were; 0 at the end. May give less than fits.
    virtual std::expected<std::size_t, SourceError> read(std::span<char> room) = 0;

    /// Bytes in all, where that is known beforehand (a file; not a pipe).
    [[nodiscard]] virtual std::optional<std::uint64_t> size() const { return std::nullopt; }

    /// What to call it in messages.
    [[nodiscard]] virtual std::string name() const = 0;
};

/// Opens a file for reading; "-" is the standard input.
std::expected<std::unique_ptr<ByteInput>, SourceError> open_input(const std::string& path);

/// Bytes that are in memory already; `bytes` must outlive the input. `piece` limits what one read gives.
std::unique_ptr<ByteInput> memory_input(std::string_view bytes, std::size_t piece = SIZE_MAX);

}  // namespace amphora::source

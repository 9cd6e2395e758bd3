// Logs as they are stored: plain, in UTF-16, or packed with gzip or zstd, told apart by their first bytes.
#pragma once

#include <expected>
#include <memory>
#include <string>

#include "io/source/byte_input.hpp"

namespace amphora::intake {

/// Opens a file (or "-", the standard input), unpacking it on the way when it is packed. Fails with not_text for an
/// archive or another kind of file that is no log; the message says what to do.
[[nodiscard]] std::expected<std::unique_ptr<source::ByteInput>, source::SourceError> open_log(const std::string& path);

/// The same for bytes from anywhere.
[[nodiscard]] std::expected<std::unique_ptr<source::ByteInput>, source::SourceError> unpacked(
    std::unique_ptr<source::ByteInput> packed);

}  // namespace amphora::intake

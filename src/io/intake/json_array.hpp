// A JSON array of objects (RFC 8259), however it is laid out, as JSON lines: each object on a line of its own.
#pragma once

#include <memory>
#include <span>

#include "io/source/byte_input.hpp"

namespace amphora::intake {

/// Whether bytes are the beginning of an array whose first element is an object.
[[nodiscard]] bool begins_array_of_objects(std::span<const char> bytes);

/// The elements of the array as lines. Streaming; what is no JSON comes out as lines that are none either.
[[nodiscard]] std::unique_ptr<source::ByteInput> elements_as_lines(std::unique_ptr<source::ByteInput> array);

}  // namespace amphora::intake

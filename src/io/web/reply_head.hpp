// The head of a reply as it goes over the wire.
#pragma once

#include <cstdint>
#include <optional>
#include <string>

#include "io/web/reply.hpp"

namespace amphora::web {

/// How the client knows where the body ends.
struct BodyEnd {
    bool chunked = false;
    std::optional<std::uint64_t> length = {};
    bool keep_alive = false;
};

/// Status line and headers with the blank line after them (RFC 9112), the date included.
[[nodiscard]] std::string head_text(const Reply& reply, const BodyEnd& end);

}  // namespace amphora::web

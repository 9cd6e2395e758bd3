// Sends a text to a web address.
#pragma once

#include <chrono>
#include <string>

#include "io/sink/errands.hpp"

namespace amphora::sink {

struct HttpPost {
    std::string url;           // http:// or https://
    std::string body;          // JSON
    std::string token_file{};  // its first line goes along as a bearer token; empty: none
    std::chrono::milliseconds limit{20'000};
};

/// Posts once. An answer of 2xx is success. What may pass (no connection, a slow or busy server: 408, 429, 5xx) is
/// worth another try, a refusal is not. Certificates are checked; redirections are not followed, so that the token goes
/// nowhere else.
[[nodiscard]] std::expected<void, ErrandFailure> post(const HttpPost& what, const std::stop_token& stop);

}  // namespace amphora::sink

// Secrets that this computer gives out, and the digests under which it keeps them: who reads the file gets no secret.
#pragma once

#include <array>
#include <cstddef>
#include <optional>
#include <string>
#include <string_view>

namespace amphora::access {

using Digest = std::array<unsigned char, 32>;

/// So many bytes from the system's random source, as base64 with the URL-safe alphabet and without padding (RFC 4648).
[[nodiscard]] std::string random_secret(std::size_t bytes);

/// BLAKE2b of the secret. Fast, which is right for what is random; what a person made up goes through hash_passphrase.
[[nodiscard]] Digest digest_of(std::string_view secret);

/// Compares in a time that tells nothing of where they differ.
[[nodiscard]] bool same(const Digest& a, const Digest& b);

[[nodiscard]] std::string to_hex(const Digest& digest);
/// Nothing unless it is 64 hexadecimal digits.
[[nodiscard]] std::optional<Digest> from_hex(std::string_view text);

}  // namespace amphora::access

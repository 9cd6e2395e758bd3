// The passphrase with which a person signs in, kept as Argon2id (RFC 9106) only.
#pragma once

#include <cstddef>
#include <expected>
#include <string>
#include <string_view>

namespace amphora::access {

inline constexpr std::size_t shortest_passphrase = 12;  // characters; common practice, no source
inline constexpr std::size_t longest_passphrase = 256;

/// What one hashing takes: so much memory, some tenths of a second of one core on a small computer. Above the least
/// that RFC 9106, section 4, offers for constrained memory in passes, below it in memory (64 MiB): the computer in a
/// van has little, and whatever guesses is slowed by Pace too.
inline constexpr std::size_t hashing_memory = std::size_t{32} * 1024 * 1024;
inline constexpr unsigned hashing_passes = 4;

/// Empty when this will do as a passphrase; else a sentence that says what is wrong.
[[nodiscard]] std::string passphrase_fault(std::string_view passphrase);

/// The hash with its salt and parameters, as text. An error when there is not enough memory.
[[nodiscard]] std::expected<std::string, std::string> hash_passphrase(std::string_view passphrase);

/// True when the hash was made of this passphrase. Takes as long as hashing does.
[[nodiscard]] bool matches(const std::string& hash, std::string_view passphrase);

/// Overwrites it, so that it does not stay in memory.
void forget(std::string& passphrase);

}  // namespace amphora::access

#include "io/access/passphrase.hpp"

#include <fmt/core.h>
#include <sodium.h>

#include <algorithm>
#include <array>

namespace amphora::access {
namespace {

std::size_t characters(std::string_view utf8) {
    return static_cast<std::size_t>(
        std::ranges::count_if(utf8, [](char c) { return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U; }));
}

}  // namespace

std::string passphrase_fault(std::string_view passphrase) {
    if (characters(passphrase) < shortest_passphrase)
        return fmt::format("A passphrase has at least {} characters: four words that do not belong together are good.",
                           shortest_passphrase);
    if (passphrase.size() > longest_passphrase)
        return fmt::format("A passphrase has at most {} bytes.", longest_passphrase);
    if (std::ranges::any_of(passphrase, [](unsigned char c) { return c < 0x20 || c == 0x7F; }))
        return "A passphrase is one line, without control characters.";
    return "";
}

std::expected<std::string, std::string> hash_passphrase(std::string_view passphrase) {
    std::array<char, crypto_pwhash_STRBYTES> text{};
    if (::sodium_init() < 0 || ::crypto_pwhash_argon2id_str(text.data(), passphrase.data(), passphrase.size(),
                                                            hashing_passes, hashing_memory) != 0)
        return std::unexpected(
            fmt::format("there are not {} MiB of memory free to hash the passphrase", hashing_memory / 1024 / 1024));
    return std::string(text.data());
}

bool matches(const std::string& hash, std::string_view passphrase) {
    // One that another program made could ask for any amount of memory.
    if (hash.size() >= crypto_pwhash_STRBYTES || ::sodium_init() < 0) return false;
    if (::crypto_pwhash_argon2id_str_needs_rehash(hash.c_str(), hashing_passes, hashing_memory) != 0) return false;
    return ::crypto_pwhash_argon2id_str_verify(hash.c_str(), passphrase.data(), passphrase.size()) == 0;
}

void forget(std::string& passphrase) {
    ::sodium_memzero(passphrase.data(), passphrase.size());
    passphrase.clear();
}

}  // namespace amphora::access

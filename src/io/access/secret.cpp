#include "io/access/secret.hpp"

#include <sodium.h>

#include <stdexcept>
#include <vector>

namespace amphora::access {
namespace {

void begin() {
    static const bool ready = ::sodium_init() >= 0;
    if (!ready) throw std::runtime_error("the system gives no random numbers");
}

}  // namespace

std::string random_secret(std::size_t bytes) {
    begin();
    std::vector<unsigned char> raw(bytes);
    ::randombytes_buf(raw.data(), raw.size());
    constexpr int form = sodium_base64_VARIANT_URLSAFE_NO_PADDING;
    std::string text(sodium_base64_encoded_len(bytes, form), '\0');
    ::sodium_bin2base64(text.data(), text.size(), raw.data(), raw.size(), form);
    ::sodium_memzero(raw.data(), raw.size());
    text.pop_back();  // the terminating zero
    return text;
}

Digest digest_of(std::string_view secret) {
    begin();
    Digest digest{};
    ::crypto_generichash(digest.data(), digest.size(), reinterpret_cast<const unsigned char*>(secret.data()),
                         secret.size(), nullptr, 0);
    return digest;
}

bool same(const Digest& a, const Digest& b) { return ::sodium_memcmp(a.data(), b.data(), a.size()) == 0; }

std::string to_hex(const Digest& digest) {
    std::string text((digest.size() * 2) + 1, '\0');
    ::sodium_bin2hex(text.data(), text.size(), digest.data(), digest.size());
    text.pop_back();
    return text;
}

std::optional<Digest> from_hex(std::string_view text) {
    Digest digest{};
    std::size_t size = 0;
    const bool read =
        ::sodium_hex2bin(digest.data(), digest.size(), text.data(), text.size(), nullptr, &size, nullptr) == 0;
    if (!read || size != digest.size() || text.size() != 2 * digest.size()) return std::nullopt;
    return digest;
}

}  // namespace amphora::access

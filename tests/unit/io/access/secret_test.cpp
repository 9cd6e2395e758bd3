#include "io/access/secret.hpp"

#include <gtest/gtest.h>

#include <set>

namespace amphora::access {
namespace {

TEST(Secret, IsLongUrlSafeAndNeverTheSame) {
    std::set<std::string> seen;
    for (int i = 0; i < 1000; ++i) {
        const std::string secret = random_secret(16);
        EXPECT_EQ(secret.size(), 22U);  // 128 bits in characters of 6
        EXPECT_EQ(secret.find_first_not_of("ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_"),
                  std::string::npos);
        seen.insert(secret);
    }
    EXPECT_EQ(seen.size(), 1000U);
}

// From Python's hashlib, another implementation: hashlib.blake2b(b"abc", digest_size=32).hexdigest().
TEST(Digest, IsBlake2b) {
    EXPECT_EQ(to_hex(digest_of("abc")), "bddd813c634239723171ef3fee98579b94964e3bb1cb3e427262c8c068d52319");
}

TEST(Digest, IsReadAsItIsWritten) {
    const Digest digest = digest_of("secret");
    EXPECT_TRUE(same(from_hex(to_hex(digest)).value(), digest));
    EXPECT_FALSE(same(digest, digest_of("Secret")));
    EXPECT_FALSE(from_hex(""));
    EXPECT_FALSE(from_hex(to_hex(digest) + "0"));
    EXPECT_FALSE(from_hex(to_hex(digest).substr(2) + "zz"));
}

}  // namespace
}  // namespace amphora::access

#include "io/access/passphrase.hpp"

#include <gmock/gmock.h>

namespace amphora::access {
namespace {

using testing::HasSubstr;
using testing::StartsWith;

TEST(Passphrase, IsKeptAsAnArgon2idHashWithASaltOfItsOwn) {
    const auto one = hash_passphrase("lantern otter gravel seven");
    const auto two = hash_passphrase("lantern otter gravel seven");
    ASSERT_TRUE(one && two);
    EXPECT_THAT(*one, StartsWith("$argon2id$v=19$m=32768,t=4,p=1$"));
    EXPECT_NE(*one, *two);
    EXPECT_TRUE(matches(*one, "lantern otter gravel seven"));
    EXPECT_FALSE(matches(*one, "lantern otter gravel eight"));
    EXPECT_FALSE(matches(*one, ""));
}

TEST(Passphrase, HashesOfOthersAreNotTried) {
    // This one asks for 4 GiB of memory.
    EXPECT_FALSE(
        matches("$argon2id$v=19$m=4194304,t=4,p=1$c29tZXNhbHRzb21lc2FsdA$"
                "AAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAA",
                "x"));
    EXPECT_FALSE(matches("", ""));
    EXPECT_FALSE(matches(std::string(5000, '$'), "x"));
}

TEST(Passphrase, HasToBeLongAndOnOneLine) {
    EXPECT_EQ(passphrase_fault("twelve chars"), "");
    EXPECT_THAT(passphrase_fault("eleven char"), HasSubstr("at least 12"));
    EXPECT_THAT(passphrase_fault("ééééééééééé"), HasSubstr("at least 12")) << "characters are counted, not bytes";
    EXPECT_EQ(passphrase_fault("éééééééééééé"), "");
    EXPECT_THAT(passphrase_fault("two lines\nof text"), HasSubstr("one line"));
    EXPECT_THAT(passphrase_fault(std::string(257, 'a')), HasSubstr("at most 256"));
}

TEST(Passphrase, IsOverwrittenWhenItIsForgotten) {
    std::string text = "lantern otter gravel seven";
    const char* where = text.data();
    forget(text);
    EXPECT_TRUE(text.empty());
    EXPECT_EQ(where[1], '\0');
}

}  // namespace
}  // namespace amphora::access

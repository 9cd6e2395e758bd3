#include "io/web/local_network.hpp"

#include <gtest/gtest.h>

namespace amphora::web {
namespace {

// The edges of the blocks of RFC 1918, RFC 3927, RFC 4193 and RFC 4291, section 2.5.6.
TEST(LocalNetwork, IsWhatIsNotRoutedOnTheInternet) {
    for (const auto* peer : {"127.0.0.1", "10.0.0.1", "10.255.255.255", "172.16.0.1", "172.31.255.255", "192.168.0.1",
                             "169.254.3.4", "::1", "::ffff:192.168.8.20", "fe80::1", "febf::1", "fc00::1", "fdff::1"})
        EXPECT_TRUE(is_local_network(peer)) << peer;
    for (const auto* peer :
         {"9.255.255.255", "11.0.0.0", "172.15.255.255", "172.32.0.0", "192.167.1.1", "192.169.0.0", "169.253.1.1",
          "203.0.113.7", "::ffff:203.0.113.7", "2001:db8::1", "fe00::1", "::", "", "van"})
        EXPECT_FALSE(is_local_network(peer)) << peer;
}

TEST(LocalNetwork, TheGateKeepsTheRestOut) {
    Head head;
    head.peer = "203.0.113.7";
    EXPECT_EQ(only_local_network(head, {})->status, 403U);
    head.here = "203.0.113.7";
    EXPECT_FALSE(only_local_network(head, {})) << "the computer itself, by whichever of its addresses";
    head.here = "203.0.113.8";
    EXPECT_EQ(only_local_network(head, {})->status, 403U);
    head.peer = "192.168.8.20";
    EXPECT_FALSE(only_local_network(head, {}));
}

TEST(LocalNetwork, ADeviceWithManyAddressesOfIpv6IsCountedAsOne) {
    EXPECT_EQ(counted_as("192.168.8.20"), "192.168.8.20");
    EXPECT_EQ(counted_as("::ffff:192.168.8.20"), "192.168.8.20");
    EXPECT_EQ(counted_as("2001:db8:1:2:3:4:5:6"), counted_as("2001:db8:1:2::9"));
    EXPECT_NE(counted_as("2001:db8:1:2::9"), counted_as("2001:db8:1:3::9"));
}

TEST(LocalNetwork, OwnAddressesAreLocalOnesOfOthersUse) {
    for (const auto& address : own_addresses()) {
        EXPECT_TRUE(is_local_network(address)) << address;
        EXPECT_FALSE(address.starts_with("127.")) << address;
    }
}

}  // namespace
}  // namespace amphora::web

#include "io/web/host_list.hpp"

#include <gtest/gtest.h>

using amphora::web::HostList;

TEST(HostList, KnowsItsNamesWithAndWithoutPort) {
    const HostList hosts = HostList::loopback();
    for (const char* host : {"127.0.0.1", "127.0.0.1:8765", "localhost:1", "LOCALHOST", "[::1]:8765"}) {
        EXPECT_TRUE(hosts.knows(host)) << host;
    }
}

TEST(HostList, RefusesEveryOtherName) {
    const HostList hosts = HostList::loopback();
    for (const char* host : {"", "example.org", "localhost.example.org", "127.0.0.1.example.org", "127.0.0.10",
                             "localhost:", "localhost:x", "localhost:123456", "localhost@example.org", "::1"}) {
        EXPECT_FALSE(hosts.knows(host)) << host;
    }
}

TEST(HostList, KnowsTheAddressAtWhichItWasReached) {
    EXPECT_TRUE(HostList::is_address("192.168.8.1", "192.168.8.1"));
    EXPECT_TRUE(HostList::is_address("192.168.8.1:8765", "192.168.8.1"));
    EXPECT_TRUE(HostList::is_address("[fd00::1]:8765", "fd00::1"));
    for (const char* host : {"", "192.168.8.10", "192.168.8.1.example.org", "192.168.8.1:", "192.168.8.2", "fd00::1"})
        EXPECT_FALSE(HostList::is_address(host, "192.168.8.1")) << host;
    EXPECT_FALSE(HostList::is_address("", ""));
    EXPECT_FALSE(HostList::is_address(":8765", ""));
}

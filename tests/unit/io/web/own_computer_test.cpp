#include "io/web/own_computer.hpp"

#include <gtest/gtest.h>

#include "io/web/server.hpp"

namespace amphora::web {
namespace {

TEST(OwnComputer, IsKnownByItsAddress) {
    for (const auto* peer : {"127.0.0.1", "127.8.9.1", "::1", "::ffff:127.0.0.1"})
        EXPECT_TRUE(is_own_computer(peer, "127.0.0.1")) << peer;
    for (const auto* peer : {"192.168.8.20", "::ffff:192.168.8.20", "fe80::1", "0.0.0.0", "", "localhost"})
        EXPECT_FALSE(is_own_computer(peer, "192.168.8.1")) << peer;
}

TEST(OwnComputer, ReachesItselfAtAnyOfItsAddresses) {
    EXPECT_TRUE(is_own_computer("192.168.8.1", "192.168.8.1"));
    EXPECT_FALSE(is_own_computer("192.168.8.2", "192.168.8.1"));
    EXPECT_FALSE(is_own_computer("", ""));
}

TEST(OwnComputer, OnlyItChangesAnythingUnlessTheServerIsToldOtherwise) {
    const ServerSettings settings;
    ASSERT_EQ(settings.gates.size(), 1U);
    const Gate& gate = settings.gates.front();
    const auto status = [&](std::string_view peer, Access access) {
        Head head;
        head.peer = peer;
        Route route;
        route.access = access;
        const auto refusal = gate(head, route);
        return refusal ? refusal->status : 200U;
    };
    EXPECT_EQ(status("192.168.8.20", Access::look), 200U);
    EXPECT_EQ(status("192.168.8.20", Access::change), 403U);
    EXPECT_EQ(status("127.0.0.1", Access::change), 200U);
}

}  // namespace
}  // namespace amphora::web

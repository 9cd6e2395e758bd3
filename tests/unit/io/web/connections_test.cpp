#include "io/web/connections.hpp"

#include <gtest/gtest.h>

#include <memory>
#include <string>

namespace {

using amphora::web::Connections;

TEST(Connections, TheLongestWaitingGivesWay) {
    Connections connections(2);
    std::string closed;
    auto a = connections.admit([&] { closed += 'a'; });
    auto b = connections.admit([&] { closed += 'b'; });
    a->busy();
    a->waiting();  // so b has now waited longer
    const auto c = connections.admit([&] { closed += 'c'; });
    EXPECT_TRUE(c);
    EXPECT_EQ(closed, "b");
    EXPECT_EQ(connections.open(), 3U) << "b's seat is given up when its session ends";
    b.reset();
    EXPECT_EQ(connections.open(), 2U);
}

TEST(Connections, WhoIsBusyDoesNotGiveWay) {
    Connections connections(1);
    auto a = connections.admit([] { FAIL(); });
    a->busy();
    EXPECT_FALSE(connections.admit([] {}));
    a.reset();
    EXPECT_TRUE(connections.admit([] {}));
}

}  // namespace

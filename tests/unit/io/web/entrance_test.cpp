#include "io/web/entrance.hpp"

#include <gtest/gtest.h>

#include "support/scratch_folder.hpp"

namespace amphora::web {
namespace {

class EntranceTest : public testing::Test {
protected:
    unsigned status(Method method, Access access, std::string_view cookie, std::string_view peer = "192.168.8.20",
                    std::string_view authorization = "") {
        Head head;
        head.peer = peer;
        head.here = "192.168.8.1";
        head.cookie = cookie;
        head.authorization = authorization;
        Route route;
        route.method = method;
        route.access = access;
        const auto refusal = gate_of(entrance)(head, route);
        return refusal ? refusal->status : 200U;
    }
    std::string cookie_of(access::Role role) { return "amphora=" + visitors.admit("device", role).value().secret; }

    ScratchFolder folder;
    access::Visitors visitors{access::StateFile(folder.path() / "van.access")};
    Entrance entrance{.visitors = visitors};
};

TEST_F(EntranceTest, AStrangerMayKnockAndNothingMore) {
    for (const auto* cookie : {"", "amphora=", "amphora=guessed", "other=1; amphora=guessed; more"}) {
        EXPECT_EQ(status(Method::get, Access::knock, cookie), 200U);
        EXPECT_EQ(status(Method::post, Access::knock, cookie), 200U);
        EXPECT_EQ(status(Method::get, Access::look, cookie), 401U);
        EXPECT_EQ(status(Method::post, Access::look, cookie), 401U);
        EXPECT_EQ(status(Method::post, Access::change, cookie), 401U);
    }
}

TEST_F(EntranceTest, RightsAreThoseOfTheDevice) {
    const std::string full = cookie_of(access::Role::full), view = cookie_of(access::Role::view);
    EXPECT_EQ(status(Method::get, Access::look, full), 200U);
    EXPECT_EQ(status(Method::post, Access::change, full), 200U);
    EXPECT_EQ(status(Method::get, Access::look, view), 200U);
    EXPECT_EQ(status(Method::post, Access::look, view), 403U);
    EXPECT_EQ(status(Method::post, Access::change, view), 403U);
    EXPECT_EQ(status(Method::post, Access::knock, view), 200U) << "such as signing itself out";
}

TEST_F(EntranceTest, TheOwnComputerIsNotAsked) {
    EXPECT_EQ(status(Method::post, Access::change, "", "127.0.0.1"), 200U);
    EXPECT_EQ(status(Method::post, Access::change, "", "192.168.8.1"), 200U) << "by whichever of its addresses";
    entrance.asks_here_too = true;
    EXPECT_EQ(status(Method::get, Access::look, "", "127.0.0.1"), 401U) << "unless that is wanted";
}

TEST_F(EntranceTest, AScriptShowsItsKeyInAHeader) {
    const std::string key = visitors.admit("script", access::Role::view).value().secret;
    EXPECT_EQ(status(Method::get, Access::look, "", "192.168.8.20", "Bearer " + key), 200U);
    EXPECT_EQ(status(Method::post, Access::change, "", "192.168.8.20", "Bearer " + key), 403U);
    EXPECT_EQ(status(Method::get, Access::look, "", "192.168.8.20", "Bearer x"), 401U);
    EXPECT_EQ(status(Method::get, Access::look, "", "192.168.8.20", "Basic " + key), 401U);
}

TEST_F(EntranceTest, FindsItsCookieAmongOthers) {
    EXPECT_EQ(secret_in(entrance, "a=1; amphora=xyz; b=2", ""), "xyz");
    EXPECT_EQ(secret_in(entrance, "amphora=xyz", ""), "xyz");
    EXPECT_EQ(secret_in(entrance, "amphora_2=no;amphora=xyz", ""), "xyz");
    for (const auto* none : {"", ";", "=", "amphora", "amphora2=no", "xamphora=no", "; ;=;"})
        EXPECT_EQ(secret_in(entrance, none, ""), "") << none;
}

TEST_F(EntranceTest, ItsCookieIsOutOfReachOfScriptsAndOtherSites) {
    EXPECT_EQ(cookie_line(entrance, "xyz"), "amphora=xyz; Path=/; Max-Age=34560000; HttpOnly; SameSite=Strict");
    EXPECT_EQ(cookie_line(entrance, ""), "amphora=; Path=/; Max-Age=0; HttpOnly; SameSite=Strict");
    entrance.secure = true;
    EXPECT_TRUE(cookie_line(entrance, "xyz").ends_with("; Secure"));
}

}  // namespace
}  // namespace amphora::web

#include "io/sink/http_post.hpp"

#include <gtest/gtest.h>

#include <fstream>

#include "support/http_server.hpp"
#include "support/scratch_folder.hpp"

namespace amphora::sink {
namespace {

using namespace std::chrono_literals;

TEST(HttpPost, BringsItsBody) {
    const HttpServer server;
    const auto done = post({.url = server.url("/hook"), .body = R"({"guard":"low"})"}, {});
    ASSERT_TRUE(done) << done.error().why;
    ASSERT_EQ(server.requests().size(), 1U);
    EXPECT_EQ(server.requests()[0].target, "/hook");
    EXPECT_EQ(server.requests()[0].body, R"({"guard":"low"})");
    EXPECT_EQ(server.requests()[0].type, "application/json");
    EXPECT_EQ(server.requests()[0].token, "");
}

TEST(HttpPost, TakesItsTokenFromAFile) {
    const ScratchFolder folder;
    const auto file = folder.path() / "token";
    std::ofstream(file) << "swordfish\nsecond line\n";
    const HttpServer server;
    ASSERT_TRUE(post({.url = server.url("/"), .body = "{}", .token_file = file.string()}, {}));
    EXPECT_EQ(server.requests().at(0).token, "Bearer swordfish");
}

TEST(HttpPost, KnowsWhatMayPass) {
    const HttpServer server({503, 429, 404, 302, -1});
    const auto attempt = [&] { return post({.url = server.url("/"), .body = "{}"}, {}); };
    for (const bool again : {true, true, false, false, true}) {
        const auto done = attempt();
        ASSERT_FALSE(done);
        EXPECT_EQ(done.error().again, again) << done.error().why;
    }
    EXPECT_EQ(server.requests().size(), 5U) << "the redirection was not followed";
    EXPECT_TRUE(attempt());
}

TEST(HttpPost, NobodyThere) {
    const auto done = post({.url = "http://127.0.0.1:9/", .body = "{}", .limit = 3s}, {});
    ASSERT_FALSE(done);
    EXPECT_TRUE(done.error().again);
    const auto other = post({.url = "file:///etc/passwd", .body = "{}"}, {});
    ASSERT_FALSE(other);
    EXPECT_FALSE(other.error().again);
}

// A server that is away and comes back: nothing is lost, nobody waited.
TEST(HttpPost, OnAQueueItOutlastsTrouble) {
    const HttpServer server({503, 503, 503});
    Errands errands(10, {.first = 5ms, .longest = 20ms});
    for (const std::string body : {"1", "2"})
        errands.add([&server, body](const std::stop_token& stop) {
            return post({.url = server.url("/"), .body = body}, stop);
        });
    for (int i = 0; i < 2000 && errands.counts().done < 2; ++i) std::this_thread::sleep_for(2ms);
    ASSERT_EQ(errands.counts().done, 2U);
    ASSERT_EQ(server.requests().size(), 5U);
    EXPECT_EQ(server.requests()[3].body, "1");
    EXPECT_EQ(server.requests()[4].body, "2");
}

}  // namespace
}  // namespace amphora::sink

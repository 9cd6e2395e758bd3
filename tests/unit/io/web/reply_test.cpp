#include "io/web/reply.hpp"

#include <gtest/gtest.h>

#include <string_view>

namespace {

using namespace amphora::web;

std::string_view header(const Reply& reply, std::string_view name) {
    for (const auto& [key, value] : reply.headers) {
        if (key == name) return value;
    }
    return "";
}

Response file() {
    Response response;
    response.tag = "\"abc\"";
    response.keep = Keep::ask_again;
    response.body = Body::living_forever("plain");
    response.gzipped = Body::living_forever("squeezed");
    return response;
}

TEST(Reply, AllowsNoInlineScriptNorStyleNorFraming) {
    const std::string_view policy = header(reply_to({}, file()), "Content-Security-Policy");
    EXPECT_NE(policy.find("default-src 'none'"), std::string_view::npos);
    EXPECT_NE(policy.find("frame-ancestors 'none'"), std::string_view::npos);
    EXPECT_EQ(policy.find("unsafe"), std::string_view::npos);
    EXPECT_EQ(header(event_stream_opening(), "Content-Security-Policy"), policy);
    EXPECT_EQ(header(reply_to({}, problem(404, "x")), "X-Content-Type-Options"), "nosniff");
}

TEST(Reply, GivesGzipToWhoTakesIt) {
    for (const char* accept : {"gzip", "gzip, deflate, br", "br;q=1.0, gzip;q=0.8"}) {
        const Reply reply = reply_to({accept, ""}, file());
        EXPECT_EQ(reply.body.bytes(), "squeezed") << accept;
        EXPECT_EQ(header(reply, "Content-Encoding"), "gzip");
        EXPECT_EQ(header(reply, "Vary"), "Accept-Encoding");
    }
    for (const char* accept : {"", "identity", "br", "gzip;q=0", "gzip;q=0.0, br"}) {
        const Reply reply = reply_to({accept, ""}, file());
        EXPECT_EQ(reply.body.bytes(), "plain") << accept;
        EXPECT_EQ(header(reply, "Content-Encoding"), "");
    }
}

TEST(Reply, SendsNothingToWhoHasItAlready) {
    EXPECT_EQ(reply_to({"gzip", "\"abc\""}, file()).status, 304U);
    EXPECT_EQ(reply_to({"gzip", "\"abc\""}, file()).body.bytes(), "");
    EXPECT_EQ(reply_to({"gzip", "\"abd\""}, file()).status, 200U);
}

TEST(Reply, FiguresOfTheMomentAreNotKept) {
    EXPECT_EQ(header(reply_to({}, amphora::web::json("{}")), "Cache-Control"), "no-store");
    EXPECT_EQ(header(reply_to({}, file()), "Cache-Control"), "no-cache");
}

}  // namespace

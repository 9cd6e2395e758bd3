#include "io/web/door.hpp"

#include <gtest/gtest.h>

#include <optional>
#include <span>
#include <string>
#include <vector>

namespace {

using namespace amphora::web;

class Door : public ::testing::Test {
protected:
    Door() {
        routes.get("/", [](const Request&) { return Response{}; });
        routes.post("/act", [](const Request&) { return Response{}; }, {.body_limit = 100});
    }

    static Head get(std::string_view target) {
        Head head;
        head.method = "GET";
        head.target = target;
        head.host = "localhost:8765";
        head.hosts = 1;
        return head;
    }

    static Head post() {
        Head head = get("/act");
        head.method = "POST";
        head.content_type = "application/json; charset=utf-8";
        head.content_length = 10;
        return head;
    }

    /// The status that the door answers with; 200 when it lets the request in.
    unsigned status(const Head& head) {
        const auto admitted = admit(head, routes, HostList::loopback());
        return admitted ? 200 : admitted.error().status;
    }

    Routes routes;
};

TEST_F(Door, LetsInWhatIsInTheTable) {
    EXPECT_EQ(status(get("/")), 200U);
    EXPECT_EQ(status(post()), 200U);
    Head head = get("/");
    head.method = "HEAD";
    EXPECT_EQ(status(head), 200U);
}

TEST_F(Door, HandsOverPathAndQuery) {
    const Head head = get("/?from=1&to=2");
    const auto admitted = admit(head, routes, HostList::loopback());
    ASSERT_TRUE(admitted);
    EXPECT_EQ(admitted->request.path, "/");
    EXPECT_EQ(admitted->request.query.find("to"), "2");
}

TEST_F(Door, AsksTheGatesWithTheHeaderAlone) {
    std::vector<std::string> asked;
    const Gate gate = [&](const Head& head, const Route& route) -> std::optional<Response> {
        asked.push_back(route.path + " " + std::string(head.cookie) + " " + std::string(head.peer));
        if (route.access == Access::change && head.cookie != "full") return problem(401, "Sign in.");
        return std::nullopt;
    };
    const auto status_at_gate = [&](Head head, std::string_view cookie) {
        head.cookie = cookie;
        head.peer = "192.0.2.7";
        const auto admitted = admit(head, routes, HostList::loopback(), std::span(&gate, 1));
        return admitted ? 200 : admitted.error().status;
    };
    EXPECT_EQ(status_at_gate(get("/"), "none"), 200U);
    EXPECT_EQ(status_at_gate(post(), "none"), 401U);
    EXPECT_EQ(status_at_gate(post(), "full"), 200U);
    EXPECT_EQ(asked, (std::vector<std::string>{"/ none 192.0.2.7", "/act none 192.0.2.7", "/act full 192.0.2.7"}));
    EXPECT_EQ(status_at_gate(get("/nowhere"), "full"), 404U);
    EXPECT_EQ(asked.size(), 3U) << "what the door refuses no gate is asked about";
}

TEST_F(Door, TakesBytesOnlyWhereTheyAreWanted) {
    routes.post("/piece", [](const Request&) { return Response{}; }, {.body_limit = 100, .body = BodyKind::bytes});
    Head head = post();
    head.target = "/piece";
    EXPECT_EQ(status(head), 415U);
    head.content_type = "application/octet-stream";
    EXPECT_EQ(status(head), 200U);
    head.target = "/act";
    EXPECT_EQ(status(head), 415U);
    for (const char* form : {"text/plain", "multipart/form-data", "application/x-www-form-urlencoded", ""}) {
        head.target = "/piece";
        head.content_type = form;
        EXPECT_EQ(status(head), 415U) << form << " can be sent by another site's form";
    }
}

TEST_F(Door, RefusesForeignMissingAndDoubleHosts) {
    Head head = get("/");
    head.host = "rebound.example";
    EXPECT_EQ(status(head), 421U);
    head = get("/");
    head.hosts = 0;
    EXPECT_EQ(status(head), 400U);
    head.hosts = 2;
    EXPECT_EQ(status(head), 400U);
}

TEST_F(Door, RefusesPathsThatAreNotInTheTable) {
    for (const char* target : {"/../etc/passwd", "/%2e%2e/etc/passwd", "//", "/act/", "/ACT", "/./"}) {
        EXPECT_EQ(status(get(target)), 404U) << target;
    }
    for (const char* target : {"http://localhost/", "*", "", "etc"}) EXPECT_EQ(status(get(target)), 400U) << target;
}

TEST_F(Door, NamesTheMethodsThatWouldDo) {
    Head head = get("/act");
    auto admitted = admit(head, routes, HostList::loopback());
    ASSERT_FALSE(admitted);
    EXPECT_EQ(admitted.error().status, 405U);
    EXPECT_EQ(admitted.error().allow, "POST");
    for (const char* method : {"DELETE", "PUT", "TRACE", "CONNECT", "get", "X"}) {
        head = get("/");
        head.method = method;
        EXPECT_EQ(status(head), 405U) << method;
    }
}

TEST_F(Door, RefusesBodiesThatThePathDoesNotTake) {
    Head head = get("/");
    head.content_length = 1;
    EXPECT_EQ(status(head), 413U);
    head = get("/");
    head.transfer_encoding = "chunked";
    EXPECT_EQ(status(head), 413U);
    head = post();
    head.content_length = 101;
    EXPECT_EQ(status(head), 413U);
}

// RFC 9112, 6.3: where chunked is not the final coding, nobody can tell how long the body is.
TEST_F(Door, RefusesTransferCodingsButChunked) {
    Head head = post();
    head.content_length.reset();
    for (const char* coding : {"chunked", "Chunked"}) {
        head.transfer_encoding = coding;
        EXPECT_EQ(status(head), 200U) << coding;
    }
    for (const char* coding :
         {"", "gzip", "gzip, chunked", "chunked, chunked", "chunked, gzip", "identity", "xchunked"}) {
        head.transfer_encoding = coding;
        EXPECT_EQ(status(head), 400U) << coding;
    }
}

TEST_F(Door, RefusesContentCodings) {
    Head head = post();
    head.content_encoding = "gzip";
    EXPECT_EQ(status(head), 415U);
}

TEST_F(Door, APostIsJson) {
    for (const char* type : {"", "text/plain", "application/x-www-form-urlencoded", "application/jsonp"}) {
        Head head = post();
        head.content_type = type;
        EXPECT_EQ(status(head), 415U) << type;
    }
}

TEST_F(Door, APostComesFromThePagesOwnOrigin) {
    Head head = post();
    head.origin = "http://localhost:8765";
    EXPECT_EQ(status(head), 200U);
    for (const char* origin : {"http://localhost:3000", "http://elsewhere.example", "null", "file://"}) {
        head.origin = origin;
        EXPECT_EQ(status(head), 403U) << origin;
    }
    head = post();
    head.fetch_site = "same-site";
    EXPECT_EQ(status(head), 403U);
}

}  // namespace

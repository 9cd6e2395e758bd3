// What the server must refuse or drop, with its memory bounded and everyone else still served.
#include <vector>

#include "live/web/client.hpp"

namespace {

using namespace amphora::web;
using namespace amphora::web::live;
using namespace std::chrono_literals;

Limits short_tempered() {
    Limits limits;
    limits.header_time = 300ms;
    limits.body_time = 300ms;
    limits.idle_time = 500ms;
    limits.connections = 20;
    return limits;
}

class Refusal : public ::testing::Test {
protected:
    static Routes routes() {
        Routes routes;
        routes.get("/", [](const Request&) { return Response{}; });
        routes.post("/act", [](const Request&) { return Response{}; });
        return routes;
    }
    void TearDown() override { EXPECT_EQ(status_of(server.ask(get("/"))), 200) << "others are still served"; }

    Running server{routes(), short_tempered()};
};

constexpr std::size_t mebibyte = std::size_t{1024} * 1024;

// Sends `piece` over and over, at most `pieces` times, and gives what the server said, if it still could.
std::string flood(const Client& client, const std::string& piece, int pieces) {
    for (int i = 0; i < pieces && client.send(piece); ++i) {
    }
    return client.read_to_end();
}

TEST_F(Refusal, HeaderLineOf60Megabytes) {
    const std::size_t before = resident_bytes();
    const Client client = server.client();
    client.send("GET / HTTP/1.1\r\nHost: localhost\r\nX-Long: ");
    const std::string said = flood(client, std::string(mebibyte, 'a'), 60);
    EXPECT_TRUE(said.empty() || status_of(said) == 431) << said;
    EXPECT_LT(resident_bytes(), before + 8 * mebibyte);
}

TEST_F(Refusal, JustTooLongAHeaderIsToldSo) {
    EXPECT_EQ(status_of(server.ask(get("/", std::string("X-Long: ").append(7900, 'a').append("\r\n")))), 200);
    EXPECT_EQ(status_of(server.ask(get("/", std::string("X-Long: ").append(8192, 'a').append("\r\n")))), 431);
    EXPECT_EQ(status_of(server.ask(get(std::string("/").append(9000, 'a')))), 431);
}

TEST_F(Refusal, EndlessHeaders) {
    const std::size_t before = resident_bytes();
    const Client client = server.client();
    client.send("GET / HTTP/1.1\r\n");
    const std::string said = flood(client, "X-One: more\r\n", 1'000'000);
    EXPECT_TRUE(said.empty() || status_of(said) == 431) << said;
    EXPECT_LT(resident_bytes(), before + 8 * mebibyte);
}

TEST_F(Refusal, HugeBodyIsRefusedBeforeItIsRead) {
    EXPECT_EQ(status_of(server.ask("POST /act HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\n"
                                   "Content-Length: 1000000000\r\n\r\n")),
              413);
    EXPECT_EQ(status_of(server.ask(get("/", "Content-Length: 5\r\n"))), 413);
}

TEST_F(Refusal, EndlessChunkedBody) {
    const std::size_t before = resident_bytes();
    const Client client = server.client();
    client.send(
        "POST /act HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\n"
        "Transfer-Encoding: chunked\r\n\r\n");
    const std::string said = flood(client, std::string("1000\r\n").append(0x1000, ' ').append("\r\n"), 50'000);
    EXPECT_TRUE(said.empty() || status_of(said) == 413) << said;
    EXPECT_LT(resident_bytes(), before + 8 * mebibyte);
}

TEST_F(Refusal, CodedBody) {
    EXPECT_EQ(status_of(server.ask("POST /act HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\n"
                                   "Content-Encoding: gzip\r\nContent-Length: 20\r\n\r\n")),
              415);
}

TEST_F(Refusal, ForeignHost) {
    EXPECT_EQ(status_of(server.ask("GET / HTTP/1.1\r\nHost: rebound.example:8765\r\n\r\n")), 421);
    EXPECT_EQ(status_of(server.ask("GET / HTTP/1.1\r\nHost: localhost\r\nHost: localhost\r\n\r\n")), 400);
    EXPECT_EQ(status_of(server.ask("GET / HTTP/1.0\r\n\r\n")), 400);
}

TEST_F(Refusal, PathTraversal) {
    for (const char* path : {"/../../etc/passwd", "/%2e%2e/%2e%2e/etc/passwd", "/..%2f..%2fetc/passwd", "/.git/config",
                             "/assets/../../etc/passwd", "/\\..\\etc", "/etc/passwd%00"}) {
        EXPECT_EQ(status_of(server.ask(get(path))), 404) << path;
    }
}

TEST_F(Refusal, MethodsThatAreNotServed) {
    for (const char* method : {"DELETE", "PUT", "TRACE", "CONNECT", "OPTIONS", "MADEUP"}) {
        EXPECT_EQ(status_of(server.ask(std::string(method) + " / HTTP/1.1\r\nHost: localhost\r\n\r\n")), 405) << method;
    }
}

TEST_F(Refusal, MalformedRequests) {
    const std::string nul("GET / HTTP/1.1\r\nHost: local\0host\r\n\r\n", 36);
    for (const std::string& request :
         {std::string("\x16\x03\x01\x02\x01\x01\xfc\x03\x03 a TLS greeting\r\n\r\n"), std::string("GET /\r\n\r\n"),
          std::string("GET / HTTP/9.9\r\nHost: localhost\r\n\r\n"), std::string("\r\n\r\n\r\n"),
          std::string("GET  / HTTP/1.1\r\nHost: localhost\r\n\r\n"), nul,
          std::string("GET / HTTP/1.1\r\nHost : localhost\r\n\r\n"),
          std::string("GET / HTTP/1.1\r\nHost: localhost\r\nNo colon here\r\n\r\n"),
          std::string("POST /act HTTP/1.1\r\nHost: localhost\r\nContent-Length: -1\r\n\r\n"),
          std::string("POST /act HTTP/1.1\r\nHost: localhost\r\nContent-Length: 99999999999999999999\r\n\r\n"),
          std::string("POST /act HTTP/1.1\r\nHost: localhost\r\nContent-Length: 1\r\nContent-Length: 2\r\n\r\n"),
          std::string(
              "POST /act HTTP/1.1\r\nHost: localhost\r\nContent-Length: 3\r\nTransfer-Encoding: chunked\r\n\r\n"),
          std::string("POST /act HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\n"
                      "Transfer-Encoding: chunked\r\n\r\nzz\r\n")}) {
        EXPECT_EQ(status_of(server.ask(request)), 400) << request;
    }
}

TEST_F(Refusal, RandomBytes) {
    unsigned state = 1;
    for (int round = 0; round < 200; ++round) {
        std::string bytes = round % 2 == 0 ? "GET / HTTP/1.1\r\nHost: localhost\r\n" : "";
        for (int i = 0; i < 300; ++i) bytes += static_cast<char>((state = state * 1103515245U + 12345U) >> 16);
        const Client client = server.client();
        client.send(bytes + "\r\n\r\n");
        const int status = status_of(client.read_to_end());
        EXPECT_TRUE(status == 0 || (status >= 400 && status < 500)) << status;
    }
}

TEST_F(Refusal, AClientThatSendsAByteNowAndThenIsDropped) {
    const Client client = server.client();
    const auto begin = std::chrono::steady_clock::now();
    bool taken = true;
    for (const char c : get("/", std::string("X: ").append(100, 'a').append("\r\n"))) {
        taken = client.send(std::string_view(&c, 1));
        if (!taken) break;
        std::this_thread::sleep_for(20ms);
    }
    EXPECT_FALSE(taken && status_of(client.read_to_end()) == 200);
    EXPECT_LT(std::chrono::steady_clock::now() - begin, 5s);
}

TEST_F(Refusal, AClientThatStopsInTheMiddleOfABodyIsDropped) {
    const Client client = server.client();
    client.send(
        "POST /act HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\nContent-Length: 9\r\n\r\n{");
    const auto begin = std::chrono::steady_clock::now();
    EXPECT_EQ(client.read_to_end(), "");
    EXPECT_LT(std::chrono::steady_clock::now() - begin, 5s);
}

TEST_F(Refusal, WhoBreaksOffAtAnyMomentIsForgotten) {
    const std::string whole =
        "POST /act HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\nContent-Length: 2\r\n\r\n{}";
    for (std::size_t size = 0; size <= whole.size(); ++size) {
        const Client client = server.client();
        client.will_break_off();
        client.send(std::string_view(whole).substr(0, size));
        if (size % 2 == 0) std::this_thread::sleep_for(1ms);
    }
}

TEST_F(Refusal, AnIdleConnectionIsClosed) {
    const Client client = server.client();
    EXPECT_EQ(status_of(client.ask(get("/"))), 200);
    const auto begin = std::chrono::steady_clock::now();
    EXPECT_EQ(client.read_to_end(), "");
    const auto took = std::chrono::steady_clock::now() - begin;
    EXPECT_GT(took, 400ms);
    EXPECT_LT(took, 5s);
}

TEST(Crowd, ManyIdleConnectionsDoNotKeepOthersOut) {
    Limits limits;
    limits.connections = 50;
    Routes routes;
    routes.get("/", [](const Request&) { return Response{}; });
    const Running server(routes, limits);
    const std::size_t before = resident_bytes();
    std::vector<Client> crowd;
    crowd.reserve(800);
    for (int i = 0; i < 800; ++i) crowd.push_back(server.client());
    EXPECT_EQ(status_of(server.ask(get("/"))), 200);
    EXPECT_LT(resident_bytes(), before + 16 * mebibyte);
    EXPECT_EQ(crowd.front().read_to_end(), "") << "who waited longest gave way";
}

}  // namespace

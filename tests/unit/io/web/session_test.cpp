// One connection from its first byte to its last, however what is sent is cut into pieces. What has to be answered is
// that of RFC 9110 and RFC 9112, by the section named.
#include "io/web/session.hpp"

#include <fmt/core.h>
#include <gtest/gtest.h>

#include <stdexcept>

#include "io/web/event_channel.hpp"
#include "io/web/own_computer.hpp"
#include "support/http_answers.hpp"
#include "support/made_up_connection.hpp"

namespace amphora::web {
namespace {

class SessionTest : public ::testing::Test {
protected:
    static constexpr std::size_t largest = 200'000;

    Routes routes() {
        Routes routes;
        routes.get("/", [](const Request&) { return web::json("{}"); });
        routes.get("/cookie", [](const Request& r) { return web::json(std::string(r.cookie)); });
        routes.get("/long", [](const Request&) {
            Response response;
            response.more = [left = 3]() mutable { return left-- > 0 ? std::string("piece;") : std::string(); };
            return response;
        });
        const auto echo = [](const Request& r) { return web::json(std::string(r.body)); };
        routes.post("/echo", echo, {.body_limit = largest});
        routes.post("/cookie", [](const Request& r) { return web::json(std::string(r.cookie)); },
                    {.body_limit = largest});
        routes.post("/small", echo, {.body_limit = 10});
        routes.events("/stream", events);
        return routes;
    }
    static std::string get(std::string_view path, std::string_view more = "") {
        return "GET " + std::string(path) + " HTTP/1.1\r\nHost: localhost\r\n" + std::string(more) + "\r\n";
    }
    static std::string post(std::string_view path, std::string_view rest) {
        return "POST " + std::string(path) + " HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\n" +
               std::string(rest);
    }
    static std::string with_length(std::string_view path, std::string_view body) {
        return post(path, "Content-Length: " + std::to_string(body.size()) + "\r\n\r\n" + std::string(body));
    }
    static std::string in_chunks(std::string_view body, std::size_t each) {
        std::string text;
        for (; !body.empty(); body.remove_prefix(std::min(each, body.size()))) {
            const std::string_view chunk = body.substr(0, each);
            text += fmt::format("{:X}\r\n{}\r\n", chunk.size(), chunk);
        }
        return text + "0\r\n\r\n";
    }
    /// Status after status; -1 where what was answered is no HTTP.
    static std::vector<int> statuses(std::string_view said, bool heads_only = false) {
        const auto all = answers_in(said, heads_only);
        if (!all) return {-1};
        std::vector<int> found;
        for (const Answer& answer : *all) found.push_back(answer.status);
        return found;
    }
    /// The same for every way to cut it, and then that.
    std::vector<int> however_cut(const std::string& sent, bool heads_only = false) {
        const auto whole = statuses(server.answer(sent), heads_only);
        for (std::size_t piece = 1; piece < sent.size(); piece += 1 + piece / 64)
            EXPECT_EQ(statuses(server.answer(sent, piece), heads_only), whole) << piece << " at a time: " << sent;
        return whole;
    }
    void TearDown() override {
        EXPECT_EQ(server.shared().connections.open(), 0U);
        EXPECT_EQ(server.shared().event_streams, 0U);
    }

    EventChannel events{"run"};
    MadeUpServer server{routes(), {changes_from_own_computer}};
};

using Statuses = std::vector<int>;

TEST_F(SessionTest, RequestsAreTheSameHoweverTheyAreCut) {
    EXPECT_EQ(however_cut(get("/")), Statuses{200});
    EXPECT_EQ(however_cut(with_length("/echo", "[1,2]")), Statuses{200});
    EXPECT_EQ(however_cut(post("/echo", "Transfer-Encoding: chunked\r\n\r\n") + in_chunks("[1,2,3]", 3)),
              Statuses{200});
    EXPECT_EQ(however_cut(get("/none")), Statuses{404});
    EXPECT_EQ(however_cut(get("/stream") + "and more"), Statuses{200});
}

// RFC 9112, 9.3.2: answers come in the order of the requests.
TEST_F(SessionTest, RequestsSentTogetherAreAnsweredInOrder) {
    const std::string sent = with_length("/echo", "[1]") + get("/") +
                             post("/echo", "Transfer-Encoding: chunked\r\n\r\n") + in_chunks("[2,3]", 2) +
                             with_length("/echo", "[4]");
    EXPECT_EQ(however_cut(sent), (Statuses{200, 200, 200, 200}));
    const auto all = answers_in(server.answer(sent)).value();
    EXPECT_EQ(all[0].body, "[1]");
    EXPECT_EQ(all[1].body, "{}");
    EXPECT_EQ(all[2].body, "[2,3]");
    EXPECT_EQ(all[3].body, "[4]");
    EXPECT_EQ(however_cut(get("/", "Connection: close\r\n") + get("/")), Statuses{200});
    EXPECT_EQ(however_cut(get("/none") + get("/")), Statuses{404}) << "after a refusal the connection is closed";
}

TEST_F(SessionTest, ABodyMayBeLargerThanTheBufferByFar) {
    std::string body(largest, ' ');
    for (std::size_t i = 0; i < body.size(); ++i) body[i] = static_cast<char>('a' + (i * 7 + i / 1000) % 26);
    for (const std::string& sent :
         {with_length("/echo", body), post("/echo", "Transfer-Encoding: chunked\r\n\r\n") + in_chunks(body, 70'000),
          post("/echo", "Transfer-Encoding: chunked\r\n\r\n") + in_chunks(body, 5)})
        for (const std::size_t piece : {1UL, 1000UL, 8191UL, 8192UL, 8193UL, 1'000'000UL}) {
            const auto all = answers_in(server.answer(sent + get("/"), piece)).value();
            ASSERT_EQ(all.size(), 2U) << piece;
            EXPECT_TRUE(all[0].body == body) << piece;
            EXPECT_EQ(all[1].body, "{}") << "and the next begins where it ends";
        }
}

TEST_F(SessionTest, ABodyThatIsTooLargeIsRefused) {
    EXPECT_EQ(however_cut(with_length("/small", "12345678901")), Statuses{413});
    EXPECT_EQ(however_cut(with_length("/small", "1234567890")), Statuses{200});
    const std::string chunked = post("/small", "Transfer-Encoding: chunked\r\n\r\n");
    EXPECT_EQ(however_cut(chunked + in_chunks("1234567890", 5)), Statuses{200});
    EXPECT_EQ(however_cut(chunked + in_chunks("12345678901", 5)), Statuses{413});
    EXPECT_EQ(however_cut(chunked + "ffffffffffffffff\r\n"), Statuses{413});
    EXPECT_EQ(however_cut(chunked + "10000000000000000\r\n"), Statuses{400}) << "more than 64 bits";
    EXPECT_EQ(however_cut(get("/", "Content-Length: 5\r\n") + "12345"), Statuses{413});
}

// RFC 9112, 7.1.1 and 7.1.2: extensions of chunks and trailers are read over; a trailer is no header.
TEST_F(SessionTest, ChunkExtensionsAndTrailersMeanNothing) {
    const std::string chunked = post("/cookie", "Cookie: a=b\r\nTransfer-Encoding: chunked\r\n\r\n");
    const std::string sent =
        chunked + "2;name=\"va\\\"lue\";other\r\n[]\r\n0;last\r\nCookie: c=d\r\nX: y\r\n\r\n" + get("/");
    EXPECT_EQ(however_cut(sent), (Statuses{200, 200}));
    EXPECT_EQ(answers_in(server.answer(sent)).value()[0].body, "a=b");
    EXPECT_EQ(however_cut(post("/cookie", "Transfer-Encoding: chunked\r\n\r\n0\r\nCookie: c=d\r\n\r\n")),
              Statuses{200});
    EXPECT_EQ(answers_in(server.answer(post("/cookie", "Transfer-Encoding: chunked\r\n\r\n0\r\nCookie: c=d\r\n\r\n")))
                  .value()[0]
                  .body,
              "");
    EXPECT_EQ(statuses(server.answer(chunked + "1;" + std::string(9000, 'x') + "\r\n[\r\n0\r\n\r\n")), Statuses{431});
    EXPECT_EQ(statuses(server.answer(chunked + "0\r\nX: " + std::string(9000, 'x') + "\r\n\r\n")), Statuses{431});
}

TEST_F(SessionTest, ChunksThatAreNoneAreRefused) {
    const std::string chunked = post("/echo", "Transfer-Encoding: chunked\r\n\r\n");
    for (const char* body : {"zz\r\n", "-1\r\n", "0x2\r\n[]\r\n0\r\n\r\n", "2\r\n[]x\r\n0\r\n\r\n",
                             " 2\r\n[]\r\n0\r\n\r\n", "2\r\n[]\r\n0\r\nno colon\r\n\r\n", ";a\r\n\r\n"})
        EXPECT_EQ(however_cut(chunked + body), Statuses{400}) << body;
    EXPECT_EQ(however_cut(chunked + "2\n[]\n0\n\n"), Statuses{}) << "a line ends with both; it waits for the end";
    for (const char* body : {"", "2", "2\r\n", "2\r\n[", "2\r\n[]\r\n", "2\r\n[]\r\n0\r\n", "2\r\n[]\r\n0\r\nX: y\r\n"})
        EXPECT_EQ(however_cut(chunked + body), Statuses{}) << "it broke off: " << body;
}

TEST_F(SessionTest, WhereTheBodyEndsIsNeverInDoubt) {
    const std::string smuggled = "\r\n" + get("/");
    for (const char* coding : {"gzip", "identity", "chunked, gzip", "chunked, chunked", "gzip, chunked", ""})
        EXPECT_EQ(however_cut(post("/echo", std::string("Transfer-Encoding: ") + coding + "\r\n") + smuggled),
                  Statuses{400})
            << coding;
    for (const char* both :
         {"Content-Length: 3\r\nTransfer-Encoding: chunked\r\n", "Transfer-Encoding: chunked\r\nContent-Length: 3\r\n",
          "Transfer-Encoding: gzip\r\nTransfer-Encoding: chunked\r\n", "Content-Length: 3\r\nContent-Length: 4\r\n",
          "Content-Length: +3\r\n", "Content-Length: 3 3\r\n", "Content-Length: \r\n", "Content-Length : 3\r\n"})
        EXPECT_EQ(however_cut(post("/echo", both) + smuggled), Statuses{400}) << both;
}

// RFC 9110, 10.1.1.
TEST_F(SessionTest, SaysGoOnOnlyToWhoWaitsForItAndMaySend) {
    const std::string expects = "Expect: 100-continue\r\nContent-Length: 2\r\n\r\n";
    EXPECT_EQ(statuses(server.answer(post("/echo", expects) + "[]")), Statuses{200}) << "it has come already";
    EXPECT_EQ(statuses(server.answer(post("/echo", expects) + "[]", 1)), (Statuses{100, 200}));
    EXPECT_EQ(statuses(server.answer(post("/none", expects) + "[]", 1)), Statuses{404});
    EXPECT_EQ(statuses(server.answer(post("/small", "Expect: 100-continue\r\nContent-Length: 20\r\n\r\n"), 1)),
              Statuses{413});
    EXPECT_EQ(statuses(server.answer(get("/", "Expect: 100-continue\r\n"), 1)), Statuses{200}) << "there is no body";
    const std::string old =
        "POST /echo HTTP/1.0\r\nHost: localhost\r\nContent-Type: application/json\r\nExpect: 100-continue\r\n"
        "Content-Length: 2\r\n\r\n[]";
    EXPECT_EQ(however_cut(old), Statuses{200});
}

TEST_F(SessionTest, TheOldVersionIsAnsweredOnceAndWithoutChunks) {
    for (const char* more : {"", "Connection: keep-alive\r\n"}) {
        const std::string old = "GET / HTTP/1.0\r\nHost: localhost\r\n" + std::string(more) + "\r\n";
        EXPECT_EQ(however_cut(old + old), Statuses{200}) << more;
        EXPECT_EQ(answers_in(server.answer(old)).value()[0].header("Connection"), "close");
    }
    EXPECT_EQ(however_cut("GET /long HTTP/1.0\r\nHost: localhost\r\n\r\n"), Statuses{505});
    EXPECT_EQ(however_cut("GET / HTTP/1.0\r\n\r\n"), Statuses{400}) << "no Host";
    for (const char* version : {"HTTP/0.9", "HTTP/1.2", "HTTP/2.0", "HTTP/3", "http/1.1", "HTTP/1.1 "})
        EXPECT_EQ(however_cut("GET / " + std::string(version) + "\r\nHost: localhost\r\n\r\n"), Statuses{400})
            << version;
}

// RFC 9110, 9.3.2: what GET would be answered, without its body; a length only if it is that of GET.
TEST_F(SessionTest, HeadIsAnsweredAsGetWithoutItsBody) {
    const std::string head = "HEAD / HTTP/1.1\r\nHost: localhost\r\n\r\n";
    EXPECT_EQ(however_cut(head + head, true), (Statuses{200, 200}));
    EXPECT_EQ(answers_in(server.answer(head), true).value()[0].header("Content-Length"), "2");
    const std::string of_long = "HEAD /long HTTP/1.1\r\nHost: localhost\r\n\r\n";
    const auto all = answers_in(server.answer(of_long + head), true).value();
    ASSERT_EQ(all.size(), 2U);
    EXPECT_EQ(all[0].header("Transfer-Encoding"), "chunked");
    EXPECT_EQ(all[0].header("Content-Length"), std::nullopt);
    EXPECT_EQ(however_cut("HEAD /stream HTTP/1.1\r\nHost: localhost\r\n\r\n", true), Statuses{200});
    EXPECT_EQ(however_cut("HEAD /none HTTP/1.1\r\nHost: localhost\r\n\r\n", true), Statuses{404});
}

TEST_F(SessionTest, AHeaderMayFillTheBufferAndNoMore) {
    const std::size_t limit = Limits{}.header_bytes;
    const std::string frame = get("/", "X: \r\n");
    const auto of_size = [&](std::size_t size) {
        return get("/", "X: " + std::string(size - frame.size(), 'a') + "\r\n");
    };
    for (const std::size_t piece : {1UL, 511UL, 512UL, 513UL, 8192UL, 100'000UL}) {
        EXPECT_EQ(statuses(server.answer(of_size(limit), piece)), Statuses{200}) << piece;
        EXPECT_EQ(statuses(server.answer(of_size(limit) + of_size(limit), piece)), (Statuses{200, 200})) << piece;
        EXPECT_EQ(statuses(server.answer(of_size(limit + 64), piece)), Statuses{431}) << piece;
        EXPECT_EQ(statuses(server.answer("GET /" + std::string(limit, 'a'), piece)), Statuses{431}) << piece;
        EXPECT_EQ(statuses(server.answer(std::string(2 * limit, 'A'), piece)), Statuses{431}) << piece;
    }
}

TEST_F(SessionTest, WhoLeavesInTheMiddleIsAnsweredNothing) {
    const std::string whole = get("/");
    for (std::size_t size = 0; size < whole.size(); ++size)
        EXPECT_EQ(server.answer(whole.substr(0, size)), "") << whole.substr(0, size);
    const std::string body = with_length("/echo", "[1,2]");
    for (std::size_t missing = 1; missing < 5; ++missing)
        EXPECT_EQ(server.answer(body.substr(0, body.size() - missing)), "");
}

TEST_F(SessionTest, ALongBodyComesInChunks) {
    const auto all = answers_in(server.answer(get("/long") + get("/"))).value();
    ASSERT_EQ(all.size(), 2U);
    EXPECT_EQ(all[0].body, "piece;piece;piece;");
}

TEST_F(SessionTest, WhoIsGoneBeforeItIsKnownIsAStranger) {
    EXPECT_EQ(statuses(server.answer(with_length("/echo", "[]"), 100, "")), Statuses{403});
}

TEST(SessionGate, OneThatThrowsTakesNothingWithIt) {
    EventChannel events{"run"};
    events.publish("tick", "1");
    Routes routes;
    routes.get("/", [](const Request&) { return Response{}; });
    routes.events("/stream", events);
    int asked = 0;
    MadeUpServer server(routes, {[&](const Head& head, const Route&) -> std::optional<Response> {
                            ++asked;
                            if (head.cookie == "a=throws" || (head.target == "/stream" && asked > 1))
                                throw std::runtime_error("a secret");
                            return std::nullopt;
                        }});
    const std::string said = server.answer("GET / HTTP/1.1\r\nHost: localhost\r\nCookie: a=throws\r\n\r\n");
    EXPECT_EQ(answers_in(said).value().at(0).status, 500);
    EXPECT_EQ(said.find("secret"), std::string::npos);
    EXPECT_EQ(answers_in(server.answer("GET / HTTP/1.1\r\nHost: localhost\r\n\r\n")).value().at(0).status, 200);
    asked = 0;
    const std::string streamed = server.answer("GET /stream HTTP/1.1\r\nHost: localhost\r\n\r\n");
    EXPECT_EQ(answers_in(streamed).value().at(0).body, "") << "it was let in, and then no more";
    EXPECT_EQ(events.listeners(), 0U);
    EXPECT_EQ(server.shared().event_streams, 0U);
}

}  // namespace
}  // namespace amphora::web

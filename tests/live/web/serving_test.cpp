// What a well-behaved client gets.
#include <csignal>
#include <thread>

#include "io/web/page_files.hpp"
#include "live/web/client.hpp"

namespace {

using namespace amphora::web;
using namespace amphora::web::live;
using ::testing::Test;

constexpr PageFile page[] = {{"/", "text/html; charset=utf-8", "\"t\"", false, "<p>page</p>", "squeezed"}};

class Serving : public Test {
protected:
    static Routes routes() {
        Routes routes;
        add_files(routes, page);
        routes.get("/fails", [](const Request&) -> Response { throw std::runtime_error("a secret"); });
        routes.get("/long", [](const Request& request) {
            Response response;
            response.headers.emplace_back("Set-Cookie", "a=b; HttpOnly");
            const bool breaks = request.query.find("breaks").has_value();
            response.more = [breaks, left = 3]() mutable {
                if (left-- > 0) return std::string("piece;");
                if (breaks) throw std::runtime_error("a secret");
                return std::string();
            };
            return response;
        });
        routes.post("/echo", [](const Request& request) { return json(std::string(request.body)); },
                    {.body_limit = 1000});
        return routes;
    }
    static std::string post(std::string_view body, std::string_view more = "") {
        return "POST /echo HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\n" + std::string(more) +
               "Content-Length: " + std::to_string(body.size()) + "\r\n\r\n" + std::string(body);
    }

    Running server{routes()};
};

TEST_F(Serving, GivesAFile) {
    const std::string response = server.ask(get("/"));
    EXPECT_EQ(status_of(response), 200);
    EXPECT_TRUE(response.ends_with("\r\n\r\n<p>page</p>"));
    EXPECT_NE(response.find("Content-Security-Policy: default-src 'none'"), std::string::npos);
    EXPECT_NE(response.find("\r\nDate: "), std::string::npos);
}

TEST_F(Serving, GivesALongBodyInPieces) {
    const Client client = server.client();
    client.send(get("/long", "Connection: close\r\n"));
    const std::string response = client.read_to_end();
    EXPECT_EQ(status_of(response), 200);
    EXPECT_NE(response.find("\r\nTransfer-Encoding: chunked\r\n"), std::string::npos);
    EXPECT_NE(response.find("\r\nSet-Cookie: a=b; HttpOnly\r\n"), std::string::npos);
    EXPECT_TRUE(response.ends_with("\r\n\r\n6\r\npiece;\r\n6\r\npiece;\r\n6\r\npiece;\r\n0\r\n\r\n")) << response;
}

TEST_F(Serving, ALongBodyThatBreaksOffIsNotTakenForWhole) {
    const Client client = server.client();
    client.send(get("/long?breaks=1"));
    const std::string response = client.read_to_end();  // the connection is closed
    EXPECT_TRUE(response.ends_with("6\r\npiece;\r\n")) << response;
    EXPECT_EQ(response.find("secret"), std::string::npos);
}

TEST_F(Serving, GivesTheSqueezedFormToWhoTakesIt) {
    EXPECT_TRUE(server.ask(get("/", "Accept-Encoding: gzip, br\r\n")).ends_with("\r\n\r\nsqueezed"));
}

TEST_F(Serving, AnswersHeadWithoutABody) {
    const Client client = server.client();
    client.send("HEAD / HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n");
    const std::string response = client.read_to_end();
    EXPECT_NE(response.find("Content-Length: 11\r\n"), std::string::npos);
    EXPECT_TRUE(response.ends_with("\r\n\r\n"));
}

TEST_F(Serving, AnswersNotModifiedWithoutABody) {
    const Client client = server.client();
    client.send(get("/", "If-None-Match: \"t\"\r\nConnection: close\r\n"));
    const std::string response = client.read_to_end();
    EXPECT_EQ(status_of(response), 304);
    EXPECT_TRUE(response.ends_with("\r\n\r\n"));
}

TEST_F(Serving, KeepsAConnectionForMoreRequestsEvenWhenSentTogether) {
    const Client client = server.client();
    for (int i = 0; i < 3; ++i) EXPECT_EQ(status_of(client.ask(get("/"))), 200);
    client.send(get("/") + get("/none") + get("/", "Connection: close\r\n"));
    const std::string all = client.read_to_end();
    EXPECT_EQ(status_of(all), 200);
    EXPECT_NE(all.find("HTTP/1.1 404"), std::string::npos) << "after a refusal the connection is closed";
}

TEST_F(Serving, LetsGoOfWhoHasNothingMoreToSay) {
    for (const std::string& said : {std::string(), get("/"), post("{}")}) {
        const Client client = server.client();
        const auto begin = std::chrono::steady_clock::now();
        client.send(said);
        client.done();
        EXPECT_EQ(status_of(client.read_to_end()), said.empty() ? 0 : 200);
        EXPECT_LT(std::chrono::steady_clock::now() - begin, std::chrono::seconds(5)) << "not when its time is over";
    }
}

TEST_F(Serving, TakesABodyWholeOrInPieces) {
    EXPECT_TRUE(server.ask(post("{\"a\":1}")).ends_with("{\"a\":1}"));
    EXPECT_TRUE(server
                    .ask("POST /echo HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\n"
                         "Transfer-Encoding: chunked\r\n\r\n3\r\n[1,\r\n2\r\n2]\r\n0\r\n\r\n")
                    .ends_with("\r\n\r\n[1,2]"));
}

TEST_F(Serving, SaysGoOnToWhoAsksBeforeSendingABody) {
    const Client client = server.client();
    client.send(
        "POST /echo HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\n"
        "Expect: 100-continue\r\nContent-Length: 2\r\n\r\n");
    EXPECT_EQ(client.read_until([](std::string_view got) { return got.ends_with("\r\n\r\n"); }),
              "HTTP/1.1 100 Continue\r\n\r\n");
    EXPECT_TRUE(client.ask("{}").ends_with("{}"));
}

TEST_F(Serving, AFailingHandlerTellsNothingAndStopsNothing) {
    const Client client = server.client();
    const std::string response = client.ask(get("/fails"));
    EXPECT_EQ(status_of(response), 500);
    EXPECT_EQ(response.find("secret"), std::string::npos);
    EXPECT_EQ(status_of(client.ask(get("/"))), 200);
}

TEST(ServerAddress, TakesTheNextFreePort) {
    ServerSettings settings;
    settings.port = 0;
    const Server first = std::move(*Server::listen(settings, {}));
    settings.port = first.port();
    const auto second = Server::listen(settings, {});
    ASSERT_TRUE(second) << second.error().sentence;
    EXPECT_GT(second->port(), first.port());
    settings.ports_to_try = 1;
    const auto third = Server::listen(settings, {});
    ASSERT_FALSE(third);
    EXPECT_NE(third.error().sentence.find("Choose another port"), std::string::npos);
    settings.address = "van";
    EXPECT_FALSE(Server::listen(settings, {}));
}

TEST(ServerStop, EndsOnASignalWithConnectionsOpen) {
    ServerSettings settings;
    settings.port = 0;
    Server server = std::move(*Server::listen(settings, {}));
    server.stop_on_signals();
    std::thread thread([&] { server.run(); });
    const Client client(server.port());
    EXPECT_EQ(status_of(client.ask(get("/"))), 404);
    std::raise(SIGTERM);
    thread.join();
}

TEST(ServerTasks, AreRunAgainAndAgain) {
    ServerSettings settings;
    settings.port = 0;
    Server server = std::move(*Server::listen(settings, {}));
    int runs = 0;
    server.every(std::chrono::milliseconds(1), [&] {
        if (++runs == 3) server.stop();
    });
    server.run();
    EXPECT_EQ(runs, 3);
}

}  // namespace

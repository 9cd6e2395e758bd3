// Attacks on a server that asks people to sign in, over real sockets. Each test fails when its defence is taken away;
// that was tried by hand for each, by removing what its comment names.
#include <array>
#include <atomic>
#include <thread>
#include <vector>

#include "io/access/passphrase.hpp"
#include "io/web/entrance.hpp"
#include "io/web/page_files.hpp"
#include "live/web/client.hpp"
#include "unit/io/web/api/desk_fixture.hpp"

namespace amphora::web {
namespace {

using live::Client;
using live::Running;
using live::status_of;

constexpr PageFile page[] = {{"/", "text/html; charset=utf-8", "\"t\"", false, "<p>page</p>", ""}};

class Security : public DeskTest {
protected:
    Security() : DeskTest(false) {
        static const std::string hash = access::hash_passphrase("lantern otter gravel seven").value();
        EXPECT_TRUE(visitors.set_passphrase(hash));
        desk.entrance = &entrance;
        add_files(routes, page);
    }
    /// The gate, for whom every client comes from another computer.
    Gate gate() {
        return [inner = gate_of(entrance)](Head head, const Route& route) {
            head.peer = "192.168.8.20";
            return inner(head, route);
        };
    }
    std::string cookie_of(access::Role role) {
        return "Cookie: amphora=" + visitors.admit("device", role).value().secret + "\r\n";
    }
    static std::string post(const std::string& path, const std::string& body, const std::string& headers = "",
                            const std::string& type = "application/json", const std::string& host = "localhost") {
        return "POST " + path + " HTTP/1.1\r\nHost: " + host + "\r\nContent-Type: " + type + "\r\n" + headers +
               "Content-Length: " + std::to_string(body.size()) + "\r\n\r\n" + body;
    }
    static std::string get(const std::string& path, const std::string& headers = "",
                           const std::string& host = "localhost") {
        return "GET " + path + " HTTP/1.1\r\nHost: " + host + "\r\n" + headers + "\r\n";
    }
    static std::string cookie_in(const std::string& response) {
        const std::size_t at = response.find("Set-Cookie: ");
        return at == std::string::npos
                   ? ""
                   : "Cookie: " + response.substr(at + 12, response.find(';', at) - at - 12) + "\r\n";
    }

    std::atomic<std::int64_t> clock{1'800'000'000};
    access::Visitors visitors{access::StateFile(folder.path() / "boat.access"),
                              [this] { return access::Moment(std::chrono::seconds(clock)); }};
    Entrance entrance{.visitors = visitors};
    const std::string right = R"({"passphrase":"lantern otter gravel seven","name":"phone"})";
    const std::string wrong = R"({"passphrase":"lantern otter gravel eight","name":"phone"})";
    const std::string save = R"({"text":"format = 1","mark":""})";
};

// Defence: HostList::knows in admit (door.cpp).
TEST_F(Security, DnsRebinding) {
    const std::string full = cookie_of(access::Role::full);
    const Running server(routes, {}, {}, {gate()});
    EXPECT_EQ(status_of(server.ask(get("/api/v1/record", full))), 200);
    for (const char* host : {"rebound.example", "rebound.example:8765", "localhost.rebound.example",
                             "127.0.0.1.example", "192.168.8.1", "", "[::2]"}) {
        EXPECT_EQ(status_of(server.ask(get("/api/v1/record", full, host))), 421) << host;
        EXPECT_EQ(status_of(server.ask(post("/api/v1/access/sign-in", right, "", "application/json", host))), 421);
    }
}

// Defence: from_own_page in admit (door.cpp).
TEST_F(Security, CrossOriginPost) {
    const std::string full = cookie_of(access::Role::full);
    const Running server(routes, {}, {}, {gate()});
    for (const char* header :
         {"Origin: http://elsewhere.example\r\n", "Origin: null\r\n", "Origin: http://localhost:9\r\n",
          "Sec-Fetch-Site: cross-site\r\n", "Sec-Fetch-Site: same-site\r\n"})
        for (const char* path : {"/api/v1/description/save", "/api/v1/access/sign-in", "/api/v1/access/sign-out",
                                 "/api/v1/access/pair", "/api/v1/access/invite", "/api/v1/access/devices/remove"})
            EXPECT_EQ(status_of(server.ask(post(path, "{}", full + header))), 403) << header << path;
    EXPECT_NE(status_of(server.ask(post("/api/v1/description/save", save, full + "Origin: http://localhost\r\n"))),
              403);
}

// Defence: the media type in admit (door.cpp). A form needs nobody's leave to send these.
TEST_F(Security, SimpleFormOfAnotherSite) {
    const std::string full = cookie_of(access::Role::full);
    const Running server(routes, {}, {}, {gate()});
    for (const Route& route : routes.all()) {
        if (route.method != Method::post) continue;
        for (const char* type :
             {"text/plain", "application/x-www-form-urlencoded", "multipart/form-data; boundary=x", ""})
            EXPECT_EQ(status_of(server.ask(post(route.path, "{}", full, type))), 415) << route.path << " " << type;
    }
}

// Defence: SameSite=Strict and HttpOnly in cookie_line (entrance.cpp): another site's page sends no cookie, a script
// reads none.
TEST_F(Security, TheCookieStaysWithItsOwnPage) {
    const Running server(routes, {}, {}, {gate()});
    const std::string response = server.ask(post("/api/v1/access/sign-in", right));
    EXPECT_EQ(status_of(response), 200) << response;
    EXPECT_NE(response.find("; HttpOnly; SameSite=Strict"), std::string::npos) << response;
}

// Defence: nothing that is changed answers GET (routes): no link or picture of another site's page does harm.
TEST_F(Security, NothingIsChangedByGet) {
    for (const Route& route : routes.all())
        if (route.method == Method::get) {
            EXPECT_NE(route.access, Access::change) << route.path;
        }
}

// Defence: Visitors::redeem erases the invitation (visitors.cpp).
TEST_F(Security, ReplayedPairingToken) {
    const std::string body = R"({"token":")" + visitors.invite(access::Role::full).value() + R"(","name":"phone"})";
    const Running server(routes, {}, {}, {gate()});
    EXPECT_EQ(status_of(server.ask(post("/api/v1/access/pair", body))), 200);
    EXPECT_EQ(status_of(server.ask(post("/api/v1/access/pair", body))), 403);
}

// Defence: lapsed(Invitation) in Visitors::redeem (visitors.cpp).
TEST_F(Security, ExpiredPairingToken) {
    const std::string body = R"({"token":")" + visitors.invite(access::Role::full).value() + R"(","name":"phone"})";
    const Running server(routes, {}, {}, {gate()});
    clock += 600;
    EXPECT_EQ(status_of(server.ask(post("/api/v1/access/pair", body))), 403);
    EXPECT_EQ(cookie_in(server.ask(post("/api/v1/access/pair", body))), "");
}

// Defence: may_change in gate_of (entrance.cpp). Whoever stole the cookie of a device that may look can write nothing.
TEST_F(Security, ViewOnlyCookieOnAWrite) {
    const std::string view = cookie_of(access::Role::view);
    const Running server(routes, {}, {}, {gate()});
    EXPECT_EQ(status_of(server.ask(get("/api/v1/record", view))), 200);
    int refused = 0;
    for (const Route& route : routes.all()) {
        if (route.method != Method::post || route.access == Access::knock) continue;
        const std::string type = route.body == BodyKind::json ? "application/json" : "application/octet-stream";
        EXPECT_EQ(status_of(server.ask(post(route.path, "{}", view, type))), 403) << route.path;
        ++refused;
    }
    EXPECT_GT(refused, 8);
    EXPECT_EQ(status_of(server.ask(post("/api/v1/access/sign-out", "{}", view))), 200);
}

// Defence: may_look in gate_of (entrance.cpp).
TEST_F(Security, AStrangerSeesThePageAndNoFigure) {
    const Running server(routes, {}, {}, {gate()});
    EXPECT_EQ(status_of(server.ask(get("/"))), 200);
    EXPECT_EQ(status_of(server.ask(get("/api/v1/access"))), 200);
    for (const Route& route : routes.all())
        if (route.access != Access::knock) {
            const bool reads = route.method == Method::get;
            const std::string type = route.body == BodyKind::json ? "application/json" : "application/octet-stream";
            EXPECT_EQ(status_of(server.ask(reads ? get(route.path) : post(route.path, "{}", "", type))), 401)
                << route.path;
        }
}

// Defence: only what is in the table is served (Routes::find), whoever asks; nothing is looked up on a disk.
TEST_F(Security, PathTraversal) {
    const std::string full = cookie_of(access::Role::full);
    const Running server(routes, {}, {}, {gate()});
    for (const char* path :
         {"/../boat.access", "/api/v1/../../boat.access", "/%2e%2e/boat.access", "/assets/..%2fboat.access",
          "/api/v1/access/devices/../../../boat.toml", "//boat.access", "/.\\boat.access"})
        EXPECT_EQ(status_of(server.ask(get(path, full))), 404) << path;
}

// Defence: Visitors::admit makes a new secret, let_in ends the one that was shown (access_api.cpp).
TEST_F(Security, SessionFixation) {
    const std::string planted = "Cookie: amphora=planted-by-someone-else\r\n";
    const std::string before = cookie_of(access::Role::view);
    const Running server(routes, {}, {}, {gate()});
    const std::string after = cookie_in(server.ask(post("/api/v1/access/sign-in", right, planted)));
    EXPECT_NE(after, planted);
    EXPECT_EQ(status_of(server.ask(get("/api/v1/record", planted))), 401);
    EXPECT_EQ(status_of(server.ask(get("/api/v1/record", after))), 200);

    EXPECT_EQ(status_of(server.ask(get("/api/v1/record", before))), 200);
    const std::string renewed = cookie_in(server.ask(post("/api/v1/access/sign-in", right, before)));
    EXPECT_NE(renewed, before);
    EXPECT_EQ(status_of(server.ask(get("/api/v1/record", before))), 401) << "who has the old one did not sign in";
    EXPECT_EQ(status_of(server.ask(get("/api/v1/record", renewed))), 200);
}

// Defence: Pace::ask in sign_in (access_api.cpp). Tries at once are no way around it.
TEST_F(Security, SignInByBruteForce) {
    const Running server(routes, {}, {}, {gate()});
    std::vector<std::thread> guessers;
    std::array<std::atomic<int>, 600> came{};
    for (int t = 0; t < 8; ++t)
        guessers.emplace_back([&] {
            for (int i = 0; i < 20; ++i)
                ++came.at(static_cast<std::size_t>(status_of(server.ask(post("/api/v1/access/sign-in", wrong)))));
        });
    for (auto& guesser : guessers) guesser.join();
    EXPECT_LE(came[403] + came[429] + came[503], 160);
    EXPECT_LE(came[403], 2) << "hashed and found wrong, but for the third, whose answer says to wait";
    EXPECT_GT(came[429], 100);
    EXPECT_EQ(status_of(server.ask(post("/api/v1/access/sign-in", right))), 429);
    const std::string said = server.ask(post("/api/v1/access/sign-in", right));
    EXPECT_NE(said.find("Retry-After: "), std::string::npos);
}

// Defence: Limits::errands in Session::run (session.cpp): so much memory as one hashing takes, whoever asks for more.
TEST_F(Security, SigningInAllAtOnceTakesNoMoreMemoryThanOnce) {
    entrance.passphrases = access::Pace({.free_tries = 1000, .all_tries = 1000});
    const Running server(routes, {}, {}, {gate()});
    (void)server.ask(post("/api/v1/access/sign-in", wrong));
    const std::size_t before = live::resident_bytes();
    std::vector<Client> crowd;
    for (int i = 0; i < 40; ++i) {
        crowd.push_back(server.client());
        crowd.back().send(post("/api/v1/access/sign-in", wrong));
    }
    const auto begin = std::chrono::steady_clock::now();
    EXPECT_EQ(status_of(server.ask(get("/"))), 200);
    EXPECT_LT(std::chrono::steady_clock::now() - begin, std::chrono::milliseconds(500))
        << "others are not made to wait";
    std::size_t most = 0;
    int busy = 0;
    for (const Client& client : crowd) {
        busy += status_of(client.read_response()) == 503 ? 1 : 0;
        most = std::max(most, live::resident_bytes());
    }
    EXPECT_GE(busy, 30);
    EXPECT_LT(most, before + access::hashing_memory + access::hashing_memory / 2);
}

// Defence: Visitors::find looks at the file as it is now (visitors.cpp), and streams ask again before each event
// (event_stream.cpp).
TEST_F(Security, RevokedSession) {
    const auto phone = visitors.admit("phone", access::Role::full).value();
    const std::string cookie = "Cookie: amphora=" + phone.secret + "\r\n";
    const Running server(
        routes, {},
        [this](Server& s) { s.every(std::chrono::milliseconds(10), [this] { events.publish("now", "{}"); }); },
        {gate()});
    const Client stream = server.client();
    stream.send(get("/api/v1/stream", cookie));
    EXPECT_NE(stream.read_until([](std::string_view got) { return got.contains("event: now"); }).find("event: now"),
              std::string::npos);
    EXPECT_EQ(status_of(server.ask(get("/api/v1/record", cookie))), 200);
    access::Visitors other{access::StateFile(folder.path() / "boat.access")};  // as another process
    ASSERT_TRUE(other.remove(phone.device.id).value());
    EXPECT_EQ(status_of(server.ask(get("/api/v1/record", cookie))), 401);
    const auto begin = std::chrono::steady_clock::now();
    const auto patience = std::chrono::seconds(3);
    (void)stream.read_until([&](std::string_view) { return std::chrono::steady_clock::now() - begin > patience; });
    EXPECT_LT(std::chrono::steady_clock::now() - begin, patience) << "the stream ends too";
}

// Defence: the Content-Security-Policy of every reply (reply.cpp).
TEST_F(Security, ScriptsThatAreNotThePagesOwnDoNotRun) {
    const Running server(routes, {}, {}, {gate()});
    for (const char* path : {"/", "/api/v1/access", "/none"}) {
        const std::string response = server.ask(get(path));
        const std::size_t at = response.find("Content-Security-Policy: ");
        ASSERT_NE(at, std::string::npos) << path;
        const std::string policy = response.substr(at, response.find("\r\n", at) - at);
        EXPECT_NE(policy.find("default-src 'none'; script-src 'self';"), std::string::npos);
        EXPECT_EQ(policy.find("unsafe"), std::string::npos);
        EXPECT_NE(policy.find("frame-ancestors 'none'"), std::string::npos);
    }
}

}  // namespace
}  // namespace amphora::web

// The server over TLS, with the certificate that it makes for itself, and what it says to whoever comes without.
#include "io/web/coroutine.hpp"  // before Asio

#include <algorithm>
#include <boost/asio/connect.hpp>
#include <boost/asio/io_context.hpp>
#include <boost/asio/ip/tcp.hpp>
#include <boost/asio/read_until.hpp>
#include <boost/asio/ssl.hpp>
#include <boost/asio/write.hpp>
#include <memory>
#include <optional>

#include "io/access/certificate.hpp"
#include "io/web/entrance.hpp"
#include "io/web/event_channel.hpp"
#include "live/web/client.hpp"
#include "support/scratch_folder.hpp"

namespace amphora::web {
namespace {

namespace asio = boost::asio;
namespace ssl = asio::ssl;
using boost::system::error_code;
using live::status_of;

class Encryption : public ::testing::Test {
protected:
    Encryption() {
        Routes routes;
        routes.get("/", [](const Request&) { return json("{}"); }, Access::knock);
        routes.post("/act", [](const Request& r) { return json(std::string(r.body)); }, {.access = Access::knock});
        routes.events("/stream", events);
        ServerSettings settings;
        settings.port = 0;
        settings.limits.header_time = std::chrono::milliseconds(500);
        settings.tls = Tls{certificate.chain, certificate.key};
        settings.gates = {only_encrypted(entrance)};
        server.emplace(std::move(*Server::listen(std::move(settings), std::move(routes))));
        server->every(std::chrono::milliseconds(10), [this] { events.publish("tick", "{}"); });
        thread = std::thread([this] { server->run(); });
    }
    ~Encryption() override {
        server->stop();
        thread.join();
    }
    /// What is answered to a request over TLS, until `enough` or the end; empty when there is no handshake.
    std::string ask(const std::string& request, const std::string& enough = "", long newest = TLS1_3_VERSION) {
        asio::io_context loop;
        ssl::context trust(ssl::context::tls_client);
        trust.add_certificate_authority(asio::buffer(certificate.chain));
        trust.set_verify_mode(ssl::verify_peer);
        trust.set_verify_callback(ssl::host_name_verification("127.0.0.1"));
        ::SSL_CTX_set_security_level(trust.native_handle(),
                                     0);  // so that the server is the one who refuses what is old
        SSL_CTX_set_max_proto_version(trust.native_handle(), newest);
        ssl::stream<asio::ip::tcp::socket> stream(loop, trust);
        stream.next_layer().connect({asio::ip::address_v4::loopback(), server->port()});
        error_code error;
        error = stream.handshake(ssl::stream_base::client, error);
        if (error) return "";
        asio::write(stream, asio::buffer(request));
        std::string got;
        asio::read_until(stream, asio::dynamic_buffer(got), enough.empty() ? "never to come" : enough, error);
        return got;
    }
    static std::string get(const std::string& path) {
        return "GET " + path + " HTTP/1.1\r\nHost: 127.0.0.1\r\nConnection: close\r\n\r\n";
    }

    ScratchFolder folder;
    access::Certificate certificate =
        access::certificate_in(folder.path() / "van.certificate", {"localhost"}, {"127.0.0.1"}, access::now()).value();
    access::Visitors visitors{access::StateFile(folder.path() / "van.access")};
    Entrance entrance{.visitors = visitors, .asks_here_too = true};
    EventChannel events{"run"};
    std::optional<Server> server;
    std::thread thread;
};

TEST_F(Encryption, AnswersWhoTrustsItsCertificate) {
    const std::string got = ask(get("/"));
    EXPECT_EQ(status_of(got), 200);
    EXPECT_TRUE(got.ends_with("{}")) << got;
    const std::string post =
        "POST /act HTTP/1.1\r\nHost: 127.0.0.1\r\nOrigin: https://127.0.0.1\r\nConnection: close\r\n"
        "Content-Type: application/json\r\nContent-Length: 3\r\n\r\n[1]";
    EXPECT_TRUE(ask(post).ends_with("[1]"));
}

TEST_F(Encryption, StreamsEvents) {
    EXPECT_NE(ask(get("/stream"), "event: tick").find("event: tick"), std::string::npos);
}

TEST_F(Encryption, OldVersionsAreNotSpoken) {
    EXPECT_EQ(ask(get("/"), "", TLS1_1_VERSION), "");
    EXPECT_EQ(status_of(ask(get("/"), "", TLS1_2_VERSION)), 200);
}

TEST_F(Encryption, WhoComesWithoutIsSentToIt) {
    const live::Client client(server->port());
    const std::string got = client.ask("GET /?a=1 HTTP/1.1\r\nHost: localhost:8765\r\n\r\n");
    EXPECT_EQ(status_of(got), 308);
    EXPECT_NE(got.find("\r\nLocation: https://localhost:8765/?a=1\r\n"), std::string::npos) << got;
    EXPECT_EQ(status_of(live::Client(server->port()).ask("GET / HTTP/1.1\r\nHost: rebound.example\r\n\r\n")), 421);
    EXPECT_EQ(status_of(live::Client(server->port())
                            .ask("POST /act HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\n"
                                 "Content-Length: 2\r\n\r\n{}")),
              403);
    entrance.asks_here_too = false;
    EXPECT_EQ(status_of(live::Client(server->port()).ask("GET / HTTP/1.1\r\nHost: localhost\r\n\r\n")), 200)
        << "what goes through no network need not be";
}

TEST_F(Encryption, AGreetingMayBeginWithASingleByte) {
    ssl::context trust(ssl::context::tls_client);
    const std::unique_ptr<::SSL, decltype(&::SSL_free)> tls(::SSL_new(trust.native_handle()), &::SSL_free);
    ::BIO* in = ::BIO_new(::BIO_s_mem());
    ::BIO* out = ::BIO_new(::BIO_s_mem());
    ::SSL_set_bio(tls.get(), in, out);  // it owns both now
    ::SSL_set_connect_state(tls.get());
    const live::Client client(server->port());
    const auto to_send = [out] {
        std::string bytes(static_cast<std::size_t>(BIO_pending(out)), '\0');
        ::BIO_read(out, bytes.data(), static_cast<int>(bytes.size()));
        return bytes;
    };
    for (bool first = true; ::SSL_do_handshake(tls.get()) != 1; first = false) {
        const std::string bytes = to_send();
        client.send(bytes.substr(0, 1));
        if (first) std::this_thread::sleep_for(std::chrono::milliseconds(50));
        client.send(std::string_view(bytes).substr(1));
        const std::string came = client.read_until([](std::string_view got) { return !got.empty(); });
        ASSERT_FALSE(came.empty());
        ::BIO_write(in, came.data(), static_cast<int>(came.size()));
    }
    const std::string request = get("/");
    ::SSL_write(tls.get(), request.data(), static_cast<int>(request.size()));
    client.send(to_send());
    const std::string came = client.read_to_end();
    ::BIO_write(in, came.data(), static_cast<int>(came.size()));
    std::string said(4096, '\0');
    said.resize(static_cast<std::size_t>(std::max(0, ::SSL_read(tls.get(), said.data(), 4096))));
    EXPECT_EQ(status_of(said), 200) << said;
}

TEST_F(Encryption, WhoGreetsAndThenSaysNothingIsDropped) {
    const live::Client silent(server->port()), mad(server->port());
    silent.send(std::string("\x16\x03\x01\x02\x00\x01\x00", 7));
    mad.send(std::string("\x16\x03\x01\x00\x05garbage garbage garbage", 28));
    const auto begin = std::chrono::steady_clock::now();
    (void)silent.read_to_end();
    (void)mad.read_to_end();
    EXPECT_LT(std::chrono::steady_clock::now() - begin, std::chrono::seconds(5));
    EXPECT_EQ(status_of(ask(get("/"))), 200);
}

}  // namespace
}  // namespace amphora::web

#include "io/web/server.hpp"

#include "io/web/coroutine.hpp"

#include <fmt/format.h>

#include <boost/asio/io_context.hpp>
#include <boost/asio/ip/tcp.hpp>
#include <boost/asio/signal_set.hpp>
#include <boost/asio/ssl/context.hpp>
#include <boost/asio/steady_timer.hpp>
#include <boost/asio/thread_pool.hpp>
#include <csignal>
#include <optional>
#include <utility>

#include "io/web/event_channel.hpp"
#include "io/web/session.hpp"

namespace amphora::web {

namespace asio = boost::asio;
using asio::ip::tcp;
using boost::system::error_code;

struct Server::Parts {
    Shared shared;
    asio::io_context loop{1};
    std::optional<asio::ssl::context> tls;
    asio::thread_pool errands{1};  // its thread has ended before the connections go that wait for it
    tcp::acceptor acceptor{loop};
    asio::signal_set signals{loop};

    explicit Parts(ServerSettings settings, Routes routes)
        : shared{settings.limits,
                 std::move(settings.hosts),
                 std::move(routes),
                 std::move(settings.gates),
                 Connections(settings.limits.connections),
                 errands,
                 nullptr} {}

    // Throws what Asio throws where these are no certificate and its key.
    void encrypt_with(const Tls& means) {
        tls.emplace(asio::ssl::context::tls_server);
        tls->set_options(asio::ssl::context::default_workarounds | asio::ssl::context::no_sslv2 |
                         asio::ssl::context::no_sslv3 | asio::ssl::context::no_tlsv1 | asio::ssl::context::no_tlsv1_1);
        tls->use_certificate_chain(asio::buffer(means.chain));
        tls->use_private_key(asio::buffer(means.key), asio::ssl::context::pem);
        shared.tls = &*tls;
    }

    error_code listen_at(const tcp::endpoint& endpoint) {
        error_code error;
        acceptor = tcp::acceptor(loop);
        error = acceptor.open(endpoint.protocol(), error);
        if (!error) error = acceptor.set_option(asio::socket_base::reuse_address(true), error);
        if (!error) error = acceptor.bind(endpoint, error);
        if (!error) error = acceptor.listen(asio::socket_base::max_listen_connections, error);
        return error;
    }
};

namespace {

asio::awaitable<void> accept(tcp::acceptor& acceptor, Shared& shared) {
    for (;;) {
        error_code error;
        tcp::socket socket = co_await acceptor.async_accept(asio::redirect_error(asio::use_awaitable, error));
        if (!error) {
            asio::co_spawn(acceptor.get_executor(), serve(connection_over(std::move(socket)), shared), asio::detached);
        } else {  // such as no free file descriptor: others will be closed in a moment
            asio::steady_timer pause(acceptor.get_executor(), std::chrono::milliseconds(50));
            co_await pause.async_wait(asio::redirect_error(asio::use_awaitable, error));
        }
    }
}

asio::awaitable<void> repeat(std::chrono::milliseconds pause, std::function<void()> task) {
    asio::steady_timer timer(co_await asio::this_coro::executor);
    for (;;) {
        timer.expires_after(pause);
        co_await timer.async_wait(asio::use_awaitable);
        task();
    }
}

}  // namespace

std::expected<Server, ListenError> Server::listen(ServerSettings settings, Routes routes) {
    error_code error;
    const asio::ip::address address = asio::ip::make_address(settings.address, error);
    if (error) return std::unexpected(ListenError{fmt::format("'{}' is not an IP address", settings.address)});
    const int first = settings.port;
    const int tries = first == 0 ? 1 : settings.ports_to_try;
    const auto tls = std::exchange(settings.tls, std::nullopt);
    auto parts = std::make_unique<Parts>(std::move(settings), std::move(routes));
    if (tls) parts->encrypt_with(*tls);
    for (int port = first; port < first + tries && port <= 65535; ++port) {
        error = parts->listen_at({address, static_cast<std::uint16_t>(port)});
        if (error != boost::system::errc::address_in_use) break;
    }
    if (error == boost::system::errc::address_not_available) {
        return std::unexpected(ListenError{fmt::format(
            "{} is not an address of this computer; `hostname -I` lists those it has", address.to_string())});
    }
    if (error) {
        return std::unexpected(ListenError{fmt::format("cannot listen at {}, port {}: {}. Choose another port.",
                                                       address.to_string(), first, error.message())});
    }
    asio::co_spawn(parts->loop, accept(parts->acceptor, parts->shared), asio::detached);
    return Server(std::move(parts));
}

Server::Server(std::unique_ptr<Parts> parts) : parts_(std::move(parts)) {}
Server::~Server() = default;
Server::Server(Server&&) noexcept = default;
Server& Server::operator=(Server&&) noexcept = default;

std::uint16_t Server::port() const { return parts_->acceptor.local_endpoint().port(); }

void Server::every(std::chrono::milliseconds pause, std::function<void()> task) {
    asio::co_spawn(parts_->loop, repeat(pause, std::move(task)), asio::detached);
}

void Server::keep_alive(EventChannel& channel) {
    every(parts_->shared.limits.heartbeat, [&channel] { channel.heartbeat(); });
}

void Server::stop_on_signals() {
    parts_->signals.add(SIGINT);
    parts_->signals.add(SIGTERM);
    parts_->signals.async_wait([loop = &parts_->loop](error_code error, int) {
        if (!error) loop->stop();
    });
}

void Server::run() { parts_->loop.run(); }

void Server::stop() { parts_->loop.stop(); }

}  // namespace amphora::web

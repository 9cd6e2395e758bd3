#include "io/web/connection.hpp"

#include <array>
#include <boost/asio/write.hpp>
#include <boost/beast/core/tcp_stream.hpp>
#include <boost/beast/ssl/ssl_stream.hpp>
#include <optional>
#include <utility>

namespace amphora::web {
namespace {

namespace asio = boost::asio;
using boost::system::error_code;
using Plain = boost::beast::tcp_stream;
using Encrypted = boost::beast::ssl_stream<Plain>;

auto told(error_code& error) { return asio::redirect_error(asio::use_awaitable, error); }

class SocketConnection final : public Connection {
public:
    explicit SocketConnection(asio::ip::tcp::socket socket) : plain_(std::move(socket)) {
        error_code ignored;
        ignored = this->socket().set_option(asio::ip::tcp::no_delay(true), ignored);
    }

    asio::awaitable<bool> encrypt(asio::ssl::context& tls, asio::const_buffer come) override {
        encrypted_.emplace(std::move(*plain_), tls);
        plain_.reset();
        error_code error;
        co_await encrypted_->async_handshake(asio::ssl::stream_base::server, come, told(error));
        co_return !error;
    }
    bool encrypted() const override { return encrypted_.has_value(); }

    asio::awaitable<std::size_t> read_some(asio::mutable_buffer into, error_code& error) override {
        if (plain_) co_return co_await plain_->async_read_some(into, told(error));
        co_return co_await encrypted_->async_read_some(into, told(error));
    }
    asio::awaitable<void> write(std::string_view first, std::string_view then, error_code& error) override {
        const std::array both{asio::const_buffer(first.data(), first.size()),
                              asio::const_buffer(then.data(), then.size())};
        if (plain_) {
            co_await asio::async_write(*plain_, both, told(error));
        } else {
            co_await asio::async_write(*encrypted_, both, told(error));
        }
    }

    std::string peer() const override {
        error_code error;
        const auto end = tcp().socket().remote_endpoint(error);
        return error ? "" : end.address().to_string();
    }
    std::string here() const override {
        error_code error;
        const auto end = tcp().socket().local_endpoint(error);
        return error ? "" : end.address().to_string();
    }

    void expires_after(std::chrono::steady_clock::duration time) override { tcp().expires_after(time); }
    void expires_never() override { tcp().expires_never(); }
    void hold_at_most(int bytes) override {
        error_code ignored;
        ignored = socket().set_option(asio::socket_base::send_buffer_size(bytes), ignored);
    }
    void end_sending() override {
        error_code ignored;
        ignored = socket().shutdown(asio::socket_base::shutdown_send, ignored);
    }
    void cancel() override { tcp().cancel(); }
    void close() override { tcp().close(); }

private:
    Plain& tcp() { return plain_ ? *plain_ : encrypted_->next_layer(); }
    const Plain& tcp() const { return plain_ ? *plain_ : encrypted_->next_layer(); }
    asio::ip::tcp::socket& socket() { return tcp().socket(); }

    std::optional<Plain> plain_;
    std::optional<Encrypted> encrypted_;
};

}  // namespace

std::unique_ptr<Connection> connection_over(asio::ip::tcp::socket socket) {
    return std::make_unique<SocketConnection>(std::move(socket));
}

}  // namespace amphora::web

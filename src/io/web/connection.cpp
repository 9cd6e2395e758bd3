#include "io/web/connection.hpp"

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
using Two = std::array<asio::const_buffer, 2>;

auto told(error_code& error) { return asio::redirect_error(asio::use_awaitable, error); }

}  // namespace

struct Connection::Streams {
    std::optional<Plain> plain;
    std::optional<Encrypted> encrypted;

    Plain& tcp() { return plain ? *plain : encrypted->next_layer(); }
};

Connection::Connection(asio::ip::tcp::socket socket) : streams_(std::make_unique<Streams>()) {
    streams_->plain.emplace(std::move(socket));
}
Connection::Connection(Connection&&) noexcept = default;
Connection::~Connection() = default;

asio::awaitable<bool> Connection::encrypt(asio::ssl::context& tls, asio::const_buffer come) {
    streams_->encrypted.emplace(std::move(*streams_->plain), tls);
    streams_->plain.reset();
    error_code error;
    co_await streams_->encrypted->async_handshake(asio::ssl::stream_base::server, come, told(error));
    co_return !error;
}

bool Connection::encrypted() const { return streams_->encrypted.has_value(); }

asio::awaitable<std::size_t> Connection::read_some(asio::mutable_buffer into, error_code& error) {
    if (streams_->plain) co_return co_await streams_->plain->async_read_some(into, told(error));
    co_return co_await streams_->encrypted->async_read_some(into, told(error));
}

asio::awaitable<void> Connection::write(std::string_view first, std::string_view then, error_code& error) {
    const Two both{asio::const_buffer(first.data(), first.size()), asio::const_buffer(then.data(), then.size())};
    if (streams_->plain) {
        co_await asio::async_write(*streams_->plain, both, told(error));
    } else {
        co_await asio::async_write(*streams_->encrypted, both, told(error));
    }
}

asio::ip::tcp::socket& Connection::socket() { return streams_->tcp().socket(); }
Connection::executor_type Connection::get_executor() { return streams_->tcp().get_executor(); }
void Connection::expires_after(std::chrono::steady_clock::duration time) { streams_->tcp().expires_after(time); }
void Connection::expires_never() { streams_->tcp().expires_never(); }
void Connection::cancel() { streams_->tcp().cancel(); }
void Connection::close() {
    if (streams_) streams_->tcp().close();
}

}  // namespace amphora::web

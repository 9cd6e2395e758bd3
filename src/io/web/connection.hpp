// A connection to one client, in the clear or over TLS; the rest of the server does not ask which.
#pragma once

#include "io/web/coroutine.hpp"

#include <boost/asio/ssl/context.hpp>
#include <boost/beast/core/tcp_stream.hpp>
#include <boost/beast/ssl/ssl_stream.hpp>
#include <chrono>
#include <optional>
#include <utility>

namespace amphora::web {

/// An AsyncReadStream and AsyncWriteStream of Asio.
class Connection {
    using Plain = boost::beast::tcp_stream;
    using Encrypted = boost::beast::ssl_stream<Plain>;

public:
    using executor_type = Plain::executor_type;

    explicit Connection(boost::asio::ip::tcp::socket socket) : plain_(std::move(socket)) {}

    /// From here on what is read and written is encrypted; shake_hands comes first.
    void encrypt(boost::asio::ssl::context& tls) {
        encrypted_.emplace(std::move(*plain_), tls);
        plain_.reset();
    }
    [[nodiscard]] bool encrypted() const { return encrypted_.has_value(); }

    /// What of the client's greeting has come already is in `come`; the token is told how much of it was used.
    template <class Buffers, class Token>
    auto shake_hands(const Buffers& come, Token&& token) {
        return encrypted_->async_handshake(boost::asio::ssl::stream_base::server, come, std::forward<Token>(token));
    }

    Plain& tcp() { return plain_ ? *plain_ : encrypted_->next_layer(); }
    auto& socket() { return tcp().socket(); }
    executor_type get_executor() { return tcp().get_executor(); }
    void expires_after(std::chrono::steady_clock::duration time) { tcp().expires_after(time); }
    void expires_never() { tcp().expires_never(); }
    void cancel() { tcp().cancel(); }
    void close() { tcp().close(); }

    template <class Buffers, class Token>
    auto async_read_some(const Buffers& buffers, Token&& token) {
        return plain_ ? plain_->async_read_some(buffers, std::forward<Token>(token))
                      : encrypted_->async_read_some(buffers, std::forward<Token>(token));
    }
    template <class Buffers, class Token>
    auto async_write_some(const Buffers& buffers, Token&& token) {
        return plain_ ? plain_->async_write_some(buffers, std::forward<Token>(token))
                      : encrypted_->async_write_some(buffers, std::forward<Token>(token));
    }

private:
    std::optional<Plain> plain_;
    std::optional<Encrypted> encrypted_;
};

}  // namespace amphora::web

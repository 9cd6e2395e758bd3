// A connection to one client, in the clear or over TLS; the rest of the server does not ask which.
#pragma once

#include "io/web/coroutine.hpp"

#include <array>
#include <boost/asio/buffer.hpp>
#include <boost/asio/ip/tcp.hpp>
#include <boost/asio/ssl/context.hpp>
#include <boost/system/error_code.hpp>
#include <chrono>
#include <memory>
#include <string_view>

namespace amphora::web {

/// Reads and writes bytes; each within the time that was given last. What reading and writing are made of stays in
/// connection.cpp: nothing in the program takes longer to compile.
class Connection {
public:
    using executor_type = boost::asio::any_io_executor;

    explicit Connection(boost::asio::ip::tcp::socket socket);
    Connection(Connection&&) noexcept;
    ~Connection();

    /// From here on what is read and written is encrypted. What of the client's greeting has come already is in `come`.
    /// False when the two did not agree; the connection is of no use then.
    [[nodiscard]] boost::asio::awaitable<bool> encrypt(boost::asio::ssl::context& tls, boost::asio::const_buffer come);
    [[nodiscard]] bool encrypted() const;

    /// Waits for some bytes, at most what `into` holds; how many came. None and an error when there are no more.
    [[nodiscard]] boost::asio::awaitable<std::size_t> read_some(boost::asio::mutable_buffer into,
                                                                boost::system::error_code& error);
    /// Sends all of both, `first` before `then`.
    [[nodiscard]] boost::asio::awaitable<void> write(std::string_view first, std::string_view then,
                                                     boost::system::error_code& error);

    boost::asio::ip::tcp::socket& socket();
    executor_type get_executor();
    void expires_after(std::chrono::steady_clock::duration time);
    void expires_never();
    void cancel();
    /// May be asked of one that was moved from, as nothing else may.
    void close();

private:
    struct Streams;
    std::unique_ptr<Streams> streams_;
};

}  // namespace amphora::web

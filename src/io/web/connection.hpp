// A connection to one client; the rest of the server does not ask what it is made of.
#pragma once

#include "io/web/coroutine.hpp"

#include <boost/asio/buffer.hpp>
#include <boost/asio/ip/tcp.hpp>
#include <boost/asio/ssl/context.hpp>
#include <boost/system/error_code.hpp>
#include <chrono>
#include <memory>
#include <string>
#include <string_view>

namespace amphora::web {

/// Reads and writes bytes; each within the time that was given last.
class Connection {
public:
    Connection() = default;
    Connection(const Connection&) = delete;
    Connection& operator=(const Connection&) = delete;
    Connection(Connection&&) = delete;
    Connection& operator=(Connection&&) = delete;
    virtual ~Connection() = default;

    /// From here on what is read and written is encrypted. What of the client's greeting has come already is in `come`.
    /// False when the two did not agree; the connection is of no use then.
    [[nodiscard]] virtual boost::asio::awaitable<bool> encrypt(boost::asio::ssl::context& tls,
                                                               boost::asio::const_buffer come) = 0;
    [[nodiscard]] virtual bool encrypted() const = 0;

    /// Waits for some bytes, at most what `into` holds; how many came. None and an error when there are no more.
    [[nodiscard]] virtual boost::asio::awaitable<std::size_t> read_some(boost::asio::mutable_buffer into,
                                                                        boost::system::error_code& error) = 0;
    /// Sends all of both, `first` before `then`.
    [[nodiscard]] virtual boost::asio::awaitable<void> write(std::string_view first, std::string_view then,
                                                             boost::system::error_code& error) = 0;

    /// Addresses of the client, and at which it reached this computer, as text; empty where it has gone already.
    [[nodiscard]] virtual std::string peer() const = 0;
    [[nodiscard]] virtual std::string here() const = 0;

    virtual void expires_after(std::chrono::steady_clock::duration time) = 0;
    virtual void expires_never() = 0;
    /// The kernel holds no more than so many bytes that the client has not taken.
    virtual void hold_at_most(int bytes) = 0;
    /// Tells the client that nothing more is sent; it may still be read from.
    virtual void end_sending() = 0;
    /// What is being read or written comes to an end with an error.
    virtual void cancel() = 0;
    virtual void close() = 0;
};

/// Over a socket, in the clear until it is encrypted. What reading and writing are made of stays in connection.cpp:
/// nothing in the program takes longer to compile.
std::unique_ptr<Connection> connection_over(boost::asio::ip::tcp::socket socket);

}  // namespace amphora::web

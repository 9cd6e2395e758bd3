// A client that is made up: what it sends is given beforehand and comes in pieces of a given size; what it is answered
// is kept. No socket, no time: a request is answered before the call returns.
#pragma once

#include "io/web/coroutine.hpp"

#include <algorithm>
#include <boost/asio/error.hpp>
#include <boost/asio/io_context.hpp>
#include <boost/asio/thread_pool.hpp>
#include <cstring>
#include <memory>
#include <string>
#include <string_view>
#include <utility>

#include "io/web/session.hpp"

namespace amphora::web {

/// What it sends ends as when a client says that it has nothing more to say.
class MadeUpConnection final : public Connection {
public:
    MadeUpConnection(std::string_view sent, std::size_t piece, std::string& answered, std::string peer = "127.0.0.1")
        : sent_(sent), piece_(piece), answered_(answered), peer_(std::move(peer)) {}

    boost::asio::awaitable<bool> encrypt(boost::asio::ssl::context&, boost::asio::const_buffer) override {
        co_return false;
    }
    [[nodiscard]] bool encrypted() const override { return false; }
    boost::asio::awaitable<std::size_t> read_some(boost::asio::mutable_buffer into,
                                                  boost::system::error_code& error) override {
        const std::size_t size = std::min({piece_, into.size(), sent_.size()});
        error = open_ && size > 0 ? boost::system::error_code() : boost::asio::error::eof;
        if (error) co_return 0;
        std::memcpy(into.data(), sent_.data(), size);
        sent_.remove_prefix(size);
        co_return size;
    }
    boost::asio::awaitable<void> write(std::string_view first, std::string_view then,
                                       boost::system::error_code& error) override {
        error = open_ ? boost::system::error_code() : boost::asio::error::broken_pipe;
        if (!error) answered_.append(first).append(then);
        co_return;
    }
    [[nodiscard]] std::string peer() const override { return peer_; }
    [[nodiscard]] std::string here() const override { return "127.0.0.1"; }
    void expires_after(std::chrono::steady_clock::duration) override {}
    void expires_never() override {}
    void hold_at_most(int) override {}
    void end_sending() override {}
    void cancel() override {}
    void close() override { open_ = false; }

private:
    std::string_view sent_;
    std::size_t piece_;
    std::string& answered_;
    std::string peer_;
    bool open_ = true;
};

/// What a server of these routes answers to one client after another.
class MadeUpServer {
public:
    explicit MadeUpServer(Routes routes, std::vector<Gate> gates = {}, Limits limits = {})
        : shared_{limits,
                  HostList::loopback(),
                  std::move(routes),
                  std::move(gates),
                  Connections(limits.connections),
                  errands_,
                  nullptr} {}

    std::string answer(std::string_view sent, std::size_t piece = 1 << 20, std::string peer = "127.0.0.1") {
        std::string answered;
        boost::asio::io_context loop{1};
        boost::asio::co_spawn(
            loop, serve(std::make_unique<MadeUpConnection>(sent, piece, answered, std::move(peer)), shared_),
            boost::asio::detached);
        loop.run();
        return answered;
    }

    [[nodiscard]] const Shared& shared() const { return shared_; }

private:
    boost::asio::thread_pool errands_{1};
    Shared shared_;
};

}  // namespace amphora::web

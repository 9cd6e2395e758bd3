// The recorder's door: a Unix socket at which other programs of this computer ask, a line of JSON for each question and
// each answer (docs/reference/socket.md).
#pragma once

#include <boost/asio/io_context.hpp>
#include <boost/asio/local/stream_protocol.hpp>
#include <expected>
#include <filesystem>
#include <functional>
#include <map>
#include <memory>
#include <set>
#include <string>

#include "io/live/watch.hpp"

namespace amphora::live {

class SocketServer {
public:
    explicit SocketServer(boost::asio::io_context& loop) : loop_(loop), acceptor_(loop) {}
    SocketServer(const SocketServer&) = delete;
    SocketServer& operator=(const SocketServer&) = delete;
    ~SocketServer();

    /// Listens; a socket that an earlier run left there is replaced. Fails with a sentence.
    [[nodiscard]] std::expected<void, std::string> listen(const std::filesystem::path& path);

    /// Answers {"ask": name}. A request that throws is answered as a fault of the program.
    void offer(const std::string& name, Request request);

    /// Sends a line to all who asked to watch. Who does not take what is sent is let go.
    void tell(const std::string& line);
    [[nodiscard]] bool watched() const { return !watchers_.empty(); }

private:
    class Session;
    void accept();
    [[nodiscard]] std::string answer(const std::string& line, Session& session);

    boost::asio::io_context& loop_;
    boost::asio::local::stream_protocol::acceptor acceptor_;
    std::filesystem::path path_;
    std::map<std::string, Request> requests_;
    std::set<std::shared_ptr<Session>> sessions_;
    std::set<Session*> watchers_;
};

}  // namespace amphora::live

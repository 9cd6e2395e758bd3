// A server in a thread of its own, and a client that writes bytes on a real socket exactly as told.
#pragma once

#include <gtest/gtest.h>
#include <netinet/in.h>
#include <sys/socket.h>
#include <sys/time.h>
#include <unistd.h>

#include <chrono>
#include <fstream>
#include <functional>
#include <string>
#include <string_view>
#include <thread>
#include <utility>
#include <vector>

#include "io/web/server.hpp"

namespace amphora::web::live {

class Client {
public:
    explicit Client(std::uint16_t port) : socket_(::socket(AF_INET, SOCK_STREAM, 0)) {
        const timeval patience{10, 0};
        setsockopt(socket_, SOL_SOCKET, SO_RCVTIMEO, &patience, sizeof patience);
        setsockopt(socket_, SOL_SOCKET, SO_SNDTIMEO, &patience, sizeof patience);
        sockaddr_in address{};
        address.sin_family = AF_INET;
        address.sin_port = htons(port);
        address.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
        EXPECT_TRUE(socket_ >= 0 &&
                    ::connect(socket_, reinterpret_cast<const sockaddr*>(&address), sizeof address) == 0);
    }
    Client(Client&& other) noexcept : socket_(std::exchange(other.socket_, -1)) {}
    Client(const Client&) = delete;
    Client& operator=(const Client&) = delete;
    Client& operator=(Client&&) = delete;
    ~Client() {
        if (socket_ >= 0) ::close(socket_);
    }

    /// False once the server no longer takes what is sent.
    bool send(std::string_view bytes) const {
        while (!bytes.empty()) {
            const ssize_t sent = ::send(socket_, bytes.data(), bytes.size(), MSG_NOSIGNAL);
            if (sent <= 0) return false;
            bytes.remove_prefix(static_cast<std::size_t>(sent));
        }
        return true;
    }

    /// Says that nothing more will be sent.
    void done() const { ::shutdown(socket_, SHUT_WR); }

    /// From now on closing is breaking off: what is on the way is thrown away, and the server is told so (RST).
    void will_break_off() const {
        const linger at_once{1, 0};
        setsockopt(socket_, SOL_SOCKET, SO_LINGER, &at_once, sizeof at_once);
    }

    /// What comes until `enough` says so, the server closes, or ten seconds have passed.
    std::string read_until(const std::function<bool(std::string_view)>& enough) const {
        std::string got;
        char piece[4096];
        while (!enough(got)) {
            const ssize_t size = ::recv(socket_, piece, sizeof piece, 0);
            if (size <= 0) break;
            got.append(piece, static_cast<std::size_t>(size));
        }
        return got;
    }

    std::string read_to_end() const {
        return read_until([](std::string_view) { return false; });
    }

    /// One response with its body, as its Content-Length says.
    std::string read_response() const {
        return read_until([](std::string_view got) {
            const std::size_t end = got.find("\r\n\r\n");
            if (end == std::string_view::npos) return false;
            const std::size_t at = got.find("Content-Length: ");
            const std::size_t length = at < end ? std::stoul(std::string(got.substr(at + 16, 12))) : 0;
            return got.size() >= end + 4 + length;
        });
    }

    std::string ask(std::string_view request) const {
        send(request);
        return read_response();
    }

private:
    int socket_;
};

inline std::string get(std::string_view target, std::string_view more_headers = "") {
    return "GET " + std::string(target) + " HTTP/1.1\r\nHost: localhost\r\n" + std::string(more_headers) + "\r\n";
}

/// The status code of a response; 0 when there was none.
inline int status_of(std::string_view response) {
    return response.starts_with("HTTP/1.1 ") ? std::stoi(std::string(response.substr(9, 3))) : 0;
}

/// The memory of this process that is in use, in bytes.
inline std::size_t resident_bytes() {
    std::size_t pages = 0;
    std::ifstream("/proc/self/statm") >> pages >> pages;
    return pages * static_cast<std::size_t>(sysconf(_SC_PAGESIZE));
}

/// A server on a free port, running until the end of the test.
class Running {
public:
    explicit Running(Routes routes, Limits limits = {}, const std::function<void(Server&)>& prepare = {},
                     std::vector<Gate> gates = {changes_from_own_computer})
        : server_(start(std::move(routes), limits, std::move(gates))) {
        if (prepare) prepare(server_);
        thread_ = std::thread([this] { server_.run(); });
    }
    Running(const Running&) = delete;
    Running& operator=(const Running&) = delete;
    ~Running() {
        server_.stop();
        thread_.join();
    }

    [[nodiscard]] Client client() const { return Client(server_.port()); }
    std::string ask(std::string_view request) const { return client().ask(request); }

private:
    static Server start(Routes routes, Limits limits, std::vector<Gate> gates) {
        ServerSettings settings;
        settings.port = 0;
        settings.limits = limits;
        settings.gates = std::move(gates);
        return std::move(*Server::listen(std::move(settings), std::move(routes)));
    }

    Server server_;
    std::thread thread_;
};

}  // namespace amphora::web::live

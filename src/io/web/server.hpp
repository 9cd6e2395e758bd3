// An HTTP server for a few browsers in a van: one thread, event-driven, strict with what it takes.
#pragma once

#include <chrono>
#include <cstdint>
#include <expected>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "io/web/door.hpp"
#include "io/web/host_list.hpp"
#include "io/web/limits.hpp"
#include "io/web/own_computer.hpp"
#include "io/web/routes.hpp"

namespace amphora::web {

/// With what the server encrypts; both as PEM.
struct Tls {
    std::string chain;
    std::string key;
};

struct ServerSettings {
    std::string address = "127.0.0.1";
    std::uint16_t port = 8765;
    int ports_to_try = 20;  // from `port` on, the first free one; 1: that port or none. Port 0: any free one
    HostList hosts = HostList::loopback();
    Limits limits;
    std::optional<Tls> tls{};  // set: who begins as TLS does (1.2 or newer) is answered so, at the same port
    std::vector<Gate> gates{changes_from_own_computer};  // asked in turn about each request that the door would let in
};

/// Why the server cannot listen: a sentence that says what and what to do.
struct ListenError {
    std::string sentence;
};

class Server {
public:
    /// Binds and listens; requests wait until run().
    static std::expected<Server, ListenError> listen(ServerSettings settings, Routes routes);
    ~Server();
    Server(Server&&) noexcept;
    Server& operator=(Server&&) noexcept;

    [[nodiscard]] std::uint16_t port() const;

    /// Calls `task` again and again from the server's thread, with `pause` between the end of one and the next.
    void every(std::chrono::milliseconds pause, std::function<void()> task);

    /// Keeps the listeners of this channel awake with a comment now and then. The channel must outlive the server.
    void keep_alive(EventChannel& channel);

    /// Makes SIGINT and SIGTERM stop it.
    void stop_on_signals();

    /// Serves until stopped; then all connections are closed.
    void run();

    /// May be called from any thread.
    void stop();

private:
    struct Parts;
    explicit Server(std::unique_ptr<Parts> parts);
    std::unique_ptr<Parts> parts_;
};

}  // namespace amphora::web

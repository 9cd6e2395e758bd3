// The door of the page server: whatever bytes come over a connection, it is answered or closed, and the next is served.
// A real server on a real socket, with every route of the page's kind.
#include <netinet/in.h>
#include <sys/socket.h>
#include <unistd.h>

#include <cstdint>
#include <cstdlib>
#include <string>
#include <thread>

#include "io/access/visitors.hpp"
#include "io/web/entrance.hpp"
#include "io/web/event_channel.hpp"
#include "io/web/server.hpp"

namespace {

using namespace amphora::web;

class Target {
public:
    Target() : server_(start()), thread_([this] { server_.run(); }) { thread_.detach(); }

    void send(const std::uint8_t* bytes, std::size_t size) const {
        const int client = ::socket(AF_INET, SOCK_STREAM, 0);
        sockaddr_in address{};
        address.sin_family = AF_INET;
        address.sin_port = htons(server_.port());
        address.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
        if (::connect(client, reinterpret_cast<const sockaddr*>(&address), sizeof address) != 0) std::abort();
        (void)!::send(client, bytes, size, MSG_NOSIGNAL);
        ::shutdown(client, SHUT_WR);
        char answer[4096];
        while (::recv(client, answer, sizeof answer, 0) > 0) {
        }
        ::close(client);
    }

private:
    Server start() {
        Routes routes;
        routes.get("/", [](const Request&) { return Response{}; }, Access::knock);
        routes.get("/api/v1/now", [](const Request& r) { return json(std::string(r.query.find("a").value_or("{}"))); });
        routes.post("/act", [](const Request& r) { return json(std::string(r.body)); }, {.body_limit = 1000});
        routes.events("/stream", events_);
        ServerSettings settings;
        settings.port = 0;
        settings.gates = {gate_of(entrance_)};
        settings.limits.body_time = settings.limits.header_time = std::chrono::milliseconds(10);
        return std::move(*Server::listen(std::move(settings), std::move(routes)));
    }

    amphora::access::Visitors visitors_{amphora::access::StateFile("/nowhere/van.access")};
    Entrance entrance_{.visitors = visitors_};
    EventChannel events_{"run"};
    Server server_;
    std::thread thread_;
};

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* bytes, std::size_t size) {
    static const Target& target = *new Target;  // never ended: libFuzzer leaves by exit
    target.send(bytes, size);
    return 0;
}

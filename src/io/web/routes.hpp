// The table of what the server answers. A path that is not in it does not exist: nothing is looked up on a disk.
#pragma once

#include <cstddef>
#include <functional>
#include <string>
#include <string_view>
#include <vector>

#include "io/web/message.hpp"

namespace amphora::web {

class EventChannel;

using Handler = std::function<Response(const Request&)>;

struct Route {
    Method method = Method::get;
    std::string path;
    Handler handle;
    std::size_t body_limit = 0;
    EventChannel* events = nullptr;  // set: the response is a stream of events that stays open
};

class Routes {
public:
    void get(std::string path, Handler handle);
    /// Only JSON bodies of at most `body_limit` bytes reach the handler, and only from the page's own origin.
    void post(std::string path, Handler handle, std::size_t body_limit = 65536);
    /// The channel must outlive the server.
    void events(std::string path, EventChannel& channel);

    /// The route for exactly this path and method; null when there is none.
    [[nodiscard]] const Route* find(Method method, std::string_view path) const;

    /// The methods that this path answers, as for an Allow header; empty when the path does not exist.
    [[nodiscard]] std::string_view allowed(std::string_view path) const;

private:
    std::vector<Route> routes_;
};

}  // namespace amphora::web

// The table of what the server answers. A path that is not in it does not exist: nothing is looked up on a disk.
#pragma once

#include <cstddef>
#include <cstdint>
#include <functional>
#include <string>
#include <string_view>
#include <vector>

#include "io/web/message.hpp"

namespace amphora::web {

class EventChannel;

using Handler = std::function<Response(const Request&)>;

/// What a route lets its caller do: knock, see how things are, or change them.
enum class Access : std::uint8_t { knock, look, change };

/// What the body of a POST is.
enum class BodyKind : std::uint8_t { json, bytes };

struct Route {
    Method method = Method::get;
    std::string path;
    Handler handle;
    std::size_t body_limit = 0;
    EventChannel* events = nullptr;  // set: the response is a stream of events that stays open
    Access access = Access::look;
    BodyKind body = BodyKind::json;
};

struct PostRules {
    std::size_t body_limit = 65536;
    Access access = Access::change;
    BodyKind body = BodyKind::json;
};

class Routes {
public:
    void get(std::string path, Handler handle, Access access = Access::look);
    /// Only bodies of that kind and of at most `body_limit` bytes reach the handler, and only from the page's own
    /// origin.
    void post(std::string path, Handler handle, PostRules rules = {});
    /// The channel must outlive the server.
    void events(std::string path, EventChannel& channel);

    /// The route for exactly this path and method; null when there is none.
    [[nodiscard]] const Route* find(Method method, std::string_view path) const;

    [[nodiscard]] const std::vector<Route>& all() const { return routes_; }

    /// The methods that this path answers, as for an Allow header; empty when the path does not exist.
    [[nodiscard]] std::string_view allowed(std::string_view path) const;

private:
    std::vector<Route> routes_;
};

}  // namespace amphora::web

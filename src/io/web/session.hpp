// One connection, from its first byte to its last.
#pragma once

#include "io/web/coroutine.hpp"

#include <boost/asio/ssl/context.hpp>
#include <boost/asio/thread_pool.hpp>

#include <memory>
#include <vector>

#include "io/web/connection.hpp"
#include "io/web/connections.hpp"
#include "io/web/door.hpp"
#include "io/web/host_list.hpp"
#include "io/web/limits.hpp"
#include "io/web/routes.hpp"

namespace amphora::web {

/// What all connections share; outlives them.
struct Shared {
    Limits limits;
    HostList hosts;
    Routes routes;
    std::vector<Gate> gates;
    Connections connections;
    boost::asio::thread_pool& errands;  // one thread
    boost::asio::ssl::context* tls;     // null: nothing is encrypted
    std::size_t event_streams = 0;      // open now
    std::size_t errands_open = 0;
};

/// Answers one request after another, until the client leaves, a limit is passed, or something malformed comes.
/// What is malformed, too large or not allowed gets a short answer, and the connection is closed.
boost::asio::awaitable<void> serve(std::unique_ptr<Connection> connection, Shared& shared);

}  // namespace amphora::web

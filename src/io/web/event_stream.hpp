// A connection that has become a stream of events. It holds no thread and no more than a bounded queue.
#pragma once

#include "io/web/coroutine.hpp"

#include <functional>
#include <memory>
#include <string>

#include "io/web/connection.hpp"
#include "io/web/event_channel.hpp"
#include "io/web/limits.hpp"

namespace amphora::web {

/// Sends the channel's events until the client leaves, sends something, is too slow, or `welcome`, which is asked
/// before each event, says no. The response's header must have been sent.
boost::asio::awaitable<void> send_events(std::unique_ptr<Connection> connection, EventChannel& channel,
                                         std::string last_event_id, const Limits& limits,
                                         std::function<bool()> welcome);

}  // namespace amphora::web

#include "io/web/event_stream.hpp"

#include <array>
#include <boost/asio/buffer.hpp>
#include <boost/asio/steady_timer.hpp>
#include <memory>
#include <utility>

namespace amphora::web {
namespace {

namespace asio = boost::asio;
using boost::system::error_code;

// Shared by the two halves of a stream: the one that writes, and the one that watches for the client's leaving.
struct Stream {
    std::unique_ptr<Connection> connection;
    asio::steady_timer sleep;
    Listener listener;

    Stream(std::unique_ptr<Connection> taken, const asio::any_io_executor& executor, const Limits& limits)
        : connection(std::move(taken)),
          sleep(executor, asio::steady_timer::time_point::max()),
          listener(limits.events_waiting, [this] { wake(); }) {}

    // A lost one may be in the middle of a write that its client does not take.
    void wake() {
        sleep.cancel();
        if (listener.lost()) connection->cancel();
    }
};

// A listener has nothing to say: its first byte, its leaving and its failing all end the stream.
asio::awaitable<void> watch(std::shared_ptr<Stream> stream) {
    std::array<char, 1> byte{};
    error_code error;
    co_await stream->connection->read_some(asio::buffer(byte), error);
    stream->listener.lose();
}

asio::awaitable<void> write(Stream& stream, const Limits& limits, const std::function<bool()>& welcome) {
    while (!stream.listener.lost()) {
        error_code error;
        if (const Frame frame = stream.listener.take()) {
            if (!welcome()) co_return;
            stream.connection->expires_after(limits.write_time);
            co_await stream.connection->write(*frame, {}, error);
            if (error) co_return;
        } else {
            co_await stream.sleep.async_wait(asio::redirect_error(asio::use_awaitable, error));
        }
    }
}

}  // namespace

asio::awaitable<void> send_events(std::unique_ptr<Connection> connection, EventChannel& channel,
                                  std::string last_event_id, const Limits& limits, std::function<bool()> welcome) {
    connection->hold_at_most(limits.event_send_buffer);
    connection->expires_never();  // listens as long as it lives; only writes have a time limit
    const auto executor = co_await asio::this_coro::executor;
    auto stream = std::make_shared<Stream>(std::move(connection), executor, limits);
    asio::co_spawn(executor, watch(stream), asio::detached);
    channel.join(stream->listener, last_event_id);
    co_await write(*stream, limits, welcome);
    channel.leave(stream->listener);
    stream->connection->close();
}

}  // namespace amphora::web

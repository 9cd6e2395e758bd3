// One stream of events to many listeners: server-sent events as in the WHATWG HTML standard, section 9.2, without the
// sockets.
#pragma once

#include <cstddef>
#include <cstdint>
#include <deque>
#include <functional>
#include <memory>
#include <string>
#include <string_view>
#include <vector>

namespace amphora::web {

/// The bytes of one event on the wire, shared by all who are sent it.
using Frame = std::shared_ptr<const std::string>;

/// One browser's queue. It is bounded: who does not take what is sent is lost, and the others do not notice.
class Listener {
public:
    Listener(std::size_t limit, std::function<void()> wake) : limit_(limit), wake_(std::move(wake)) {}

    void offer(Frame frame);
    /// The next frame to send; null when there is none now.
    Frame take();
    /// Ends it from outside, as when the connection is gone.
    void lose();
    [[nodiscard]] bool lost() const { return lost_; }

private:
    std::size_t limit_;
    std::function<void()> wake_;
    std::deque<Frame> waiting_;
    bool lost_ = false;
};

/// Not for use by several threads: publish from the server's own.
class EventChannel {
public:
    /// `run` marks the identifiers of this run of the program, so that those of an earlier run are not mistaken for
    /// them. The newest `kept` events can be sent again to who missed them.
    explicit EventChannel(std::string run, std::size_t kept = 64) : run_(std::move(run)), kept_(kept) {}

    /// Sends an event to every listener. `data` is one line.
    void publish(std::string_view name, std::string_view data);

    /// Sends a comment, so that a dead connection shows itself and a proxy keeps a live one.
    void heartbeat();

    /// Adds a listener. With the identifier of an event that is still kept it gets those after it; otherwise the
    /// newest.
    void join(Listener& listener, std::string_view last_event_id);
    void leave(Listener& listener);

    [[nodiscard]] std::size_t listeners() const { return listeners_.size(); }

private:
    void offer_to_all(const Frame& frame);

    std::string run_;
    std::size_t kept_;
    std::uint64_t newest_ = 0;
    std::deque<Frame> frames_;  // the newest last, with the identifiers newest_ - size + 1 .. newest_
    std::vector<Listener*> listeners_;
};

}  // namespace amphora::web

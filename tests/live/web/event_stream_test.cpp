// Streams of events to real sockets.
#include <algorithm>
#include <atomic>
#include <memory>
#include <vector>

#include "io/web/event_channel.hpp"
#include "live/web/client.hpp"

namespace {

using namespace amphora::web;
using namespace amphora::web::live;
using namespace std::chrono_literals;

auto contains(std::string text) {
    return [text = std::move(text)](std::string_view got) { return got.find(text) != std::string_view::npos; };
}

// A server whose channel says its tick, counting, every few milliseconds.
class Ticking {
public:
    explicit Ticking(Limits limits = {}, std::size_t payload = 1) {
        Routes routes;
        routes.events("/events", channel_);
        routes.get("/", [](const Request&) { return Response{}; });
        running_ = std::make_unique<Running>(routes, limits, [&](Server& server) {
            server.keep_alive(channel_);
            server.every(5ms, [this, payload] {
                if (speaks) channel_.publish("tick", std::string(payload, '0' + static_cast<char>(++ticks_ % 10)));
                listeners = channel_.listeners();
            });
        });
    }

    [[nodiscard]] const Running& server() const { return *running_; }
    std::atomic<bool> speaks = true;
    std::atomic<std::size_t> listeners = 0;

    /// Waits, for at most five seconds, until there are this many listeners.
    [[nodiscard]] bool wait_for_listeners(std::size_t count) const {
        for (int i = 0; i < 500 && listeners != count; ++i) std::this_thread::sleep_for(10ms);
        return listeners == count;
    }

private:
    EventChannel channel_{"run"};
    int ticks_ = 0;
    std::unique_ptr<Running> running_;
};

TEST(EventStream, SendsEventsAsTheyHappen) {
    const Ticking ticking;
    const Client client = ticking.server().client();
    client.send(get("/events"));
    const std::string got =
        client.read_until([](std::string_view text) { return std::ranges::count(text, '\n') > 40; });
    EXPECT_EQ(status_of(got), 200);
    EXPECT_NE(got.find("Content-Type: text/event-stream\r\n"), std::string::npos);
    EXPECT_NE(got.find("Cache-Control: no-store\r\n"), std::string::npos);
    EXPECT_NE(got.find("event: tick\ndata: "), std::string::npos);
}

TEST(EventStream, ResumesAfterTheLastEventSeen) {
    Ticking ticking;
    const Client client = ticking.server().client();
    client.send(get("/events"));
    client.read_until(contains("id: run-9\n"));
    ticking.speaks = false;
    const Client again = ticking.server().client();
    again.send(get("/events", "Last-Event-ID: run-7\r\n"));
    const std::string got = again.read_until(contains("id: run-9\n"));
    EXPECT_EQ(got.find("id: run-7\n"), std::string::npos);
    EXPECT_NE(got.find("id: run-8\n"), std::string::npos);
}

TEST(EventStream, ASilentChannelSendsAComment) {
    Limits limits;
    limits.heartbeat = 50ms;
    Ticking ticking(limits);
    ticking.speaks = false;
    const Client client = ticking.server().client();
    client.send(get("/events"));
    EXPECT_NE(client.read_until(contains(": still here\n\n")).find(": still here\n\n"), std::string::npos);
}

TEST(EventStream, WhoLeavesOrBreaksOffIsForgotten) {
    const Ticking ticking;
    for (const bool breaks_off : {false, true}) {
        {
            const Client client = ticking.server().client();
            if (breaks_off) client.will_break_off();
            client.send(get("/events"));
            EXPECT_TRUE(ticking.wait_for_listeners(1));
        }
        EXPECT_TRUE(ticking.wait_for_listeners(0));
    }
}

TEST(EventStream, WhoSpeaksIsDropped) {
    const Ticking ticking;
    const Client client = ticking.server().client();
    client.send(get("/events"));
    EXPECT_TRUE(ticking.wait_for_listeners(1));
    client.send("x");
    EXPECT_TRUE(ticking.wait_for_listeners(0));
}

TEST(EventStream, WhoDoesNotReadIsDropped) {
    Limits limits;
    limits.events_waiting = 10;
    limits.event_send_buffer = 4096;
    Ticking ticking(limits, 20'000);
    ticking.speaks = false;  // or it may be dropped before it was seen to listen
    const std::size_t before = resident_bytes();
    const Client slow = ticking.server().client();
    slow.send(get("/events"));
    EXPECT_TRUE(ticking.wait_for_listeners(1));
    ticking.speaks = true;
    EXPECT_TRUE(ticking.wait_for_listeners(0)) << "its queue is full long before ten megabytes";
    EXPECT_LT(resident_bytes(), before + (std::size_t{16} << 20));
}

TEST(EventStream, ManyStreamsLeaveTheServerFreeToAnswer) {
    Limits limits;
    limits.event_streams = 200;
    const Ticking ticking(limits);
    std::vector<Client> clients;
    for (int i = 0; i < 200; ++i) {
        clients.push_back(ticking.server().client());
        clients.back().send(get("/events"));
    }
    EXPECT_TRUE(ticking.wait_for_listeners(200));
    EXPECT_EQ(status_of(ticking.server().ask(get("/events"))), 503) << "one too many";
    EXPECT_EQ(status_of(ticking.server().ask(get("/"))), 200);
    for (const Client& client : clients) {
        const std::string got = client.read_until(contains("event: tick\n"));
        EXPECT_NE(got.find("event: tick\n"), std::string::npos);
    }
}

}  // namespace

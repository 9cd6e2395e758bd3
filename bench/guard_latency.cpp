// usage: guard_latency [ACTIONS [FOLDER]]
// How long from a reading to the relay's wire: ten rules, five sources at 10 Hz, each reading a look. What is owed is
// kept in a file in FOLDER (/var/tmp) before each action, as when live. Prints the percentiles; ends with 1 when the
// 99.9th is over 50 ms.
#include <fmt/core.h>

#include <algorithm>
#include <array>
#include <atomic>
#include <boost/asio/io_context.hpp>
#include <boost/asio/steady_timer.hpp>
#include <chrono>
#include <cstdlib>
#include <filesystem>
#include <string>
#include <thread>
#include <vector>

#include "io/live/guard_watch.hpp"
#include "io/sink/threaded_relay.hpp"

namespace {

using namespace amphora;
using Clock = std::chrono::steady_clock;
using std::chrono::microseconds;

/// When an order reached the wire, microseconds since the clock's start.
struct Arrivals {
    std::atomic<std::int64_t> last{0};
    std::atomic<int> count{0};
};

class StampingWire : public sink::RelayWire {
public:
    explicit StampingWire(Arrivals& arrivals) : arrivals_(arrivals) {}
    std::expected<void, std::string> put(bool) override {
        arrivals_.last = std::chrono::duration_cast<microseconds>(Clock::now().time_since_epoch()).count();
        ++arrivals_.count;
        arrivals_.count.notify_one();
        return {};
    }
    std::expected<std::optional<bool>, std::string> look() override { return std::nullopt; }

private:
    Arrivals& arrivals_;
};

System ten_rules() {
    System s;
    s.protection.relays.resize(1);
    s.protection.relays[0].name = "loads";
    s.protection.notices.resize(1);
    s.protection.notices[0].name = "nobody";
    s.protection.notices[0].to = "http://127.0.0.1:1/";  // cannot be told: as much is owed as can be
    for (int i = 0; i < 10; ++i) {
        described::Guard g;
        g.name = "rule " + std::to_string(i);
        g.watch = i == 0 ? Watched::voltage : i % 2 == 0 ? Watched::unloaded_voltage : Watched::temperature;
        g.resistance = Ohm(0.002);
        g.trip_below = Level(i == 0 ? 12.0 : -30.0);
        g.clear_above = Level(i == 0 ? 12.5 : -20.0);
        g.relay = "loads";
        g.notices = {"nobody"};
        s.protection.guards.push_back(g);
    }
    return s;
}

// Each of the five sources has a beat of its own; every reading swings the voltage over the level or back.
class Run {
public:
    Run(live::GuardWatch& watch, Arrivals& arrivals, int actions)
        : watch_(watch), arrivals_(arrivals), actions_(actions) {
        for (auto& timer : timers_) timer.expires_after(std::chrono::milliseconds(20) * (&timer - timers_.data()));
        for (auto& timer : timers_) beat(timer);
    }

    std::vector<std::int64_t> latencies() {
        loop_.run();
        return latencies_;
    }

private:
    void beat(boost::asio::steady_timer& timer) {
        timer.async_wait([this, &timer](boost::system::error_code) {
            reading();
            if (static_cast<int>(latencies_.size()) >= actions_) return loop_.stop();
            timer.expires_at(timer.expiry() + std::chrono::milliseconds(100));
            beat(timer);
        });
    }

    void reading() {
        collect();
        low_ = !low_;
        begun_ = std::chrono::duration_cast<microseconds>(Clock::now().time_since_epoch()).count();
        guard::Situation s;
        s.now = BootTime{begun_};
        s.voltage = Volt(low_ ? 11.0 : 13.0);
        s.current = Ampere(-5);
        s.temperature = Celsius(20);
        s.age = Second(0);
        watch_.look(s);
    }

    /// The action of the reading before: sources are 20 ms apart, what took longer is waited for here and counts in
    /// full.
    void collect() {
        if (begun_ == 0) return;
        arrivals_.count.wait(counted_);
        counted_ = arrivals_.count;
        latencies_.push_back(arrivals_.last - begun_);
    }

    live::GuardWatch& watch_;
    Arrivals& arrivals_;
    int actions_;
    boost::asio::io_context loop_;
    std::array<boost::asio::steady_timer, 5> timers_{boost::asio::steady_timer(loop_), boost::asio::steady_timer(loop_),
                                                     boost::asio::steady_timer(loop_), boost::asio::steady_timer(loop_),
                                                     boost::asio::steady_timer(loop_)};
    std::vector<std::int64_t> latencies_;
    std::int64_t begun_ = 0;
    int counted_ = 0;
    bool low_ = false;
};

}  // namespace

int main(int argc, char** argv) {
    const int actions = argc > 1 ? std::atoi(argv[1]) : 3000;
    const System system = ten_rules();
    const std::filesystem::path state = std::filesystem::path(argc > 2 ? argv[2] : "/var/tmp") / "guard_latency.state";
    boost::asio::io_context loop;
    Arrivals arrivals;
    live::GuardWatch watch(loop, system, {.state = state});
    watch.replace_relay(0, std::make_unique<sink::ThreadedRelay>(std::make_unique<StampingWire>(arrivals),
                                                                 std::chrono::milliseconds(1000)));
    auto taken = Run(watch, arrivals, actions).latencies();
    std::filesystem::remove(state);
    std::ranges::sort(taken);
    const auto at = [&](double share) {
        return static_cast<double>(taken[static_cast<std::size_t>(share * static_cast<double>(taken.size() - 1))]) /
               1e3;
    };
    fmt::print(
        "reading to relay, {} actions, ten rules, five sources at 10 Hz: median {:.3f} ms, 99 % {:.3f} ms, "
        "99.9 % {:.3f} ms, longest {:.3f} ms\n",
        taken.size(), at(0.5), at(0.99), at(0.999), at(1.0));
    return at(0.999) < 50.0 ? EXIT_SUCCESS : EXIT_FAILURE;
}

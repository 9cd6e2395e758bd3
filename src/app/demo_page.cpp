#include "app/demo_page.hpp"

#include <fmt/format.h>

#include <chrono>
#include <cstdio>

#include "io/web/event_channel.hpp"
#include "io/web/page_api.hpp"
#include "io/web/page_files.hpp"
#include "io/web/server.hpp"

namespace amphora::app {
namespace {

using Clock = std::chrono::steady_clock;
constexpr std::chrono::milliseconds tick(250);

// The van's life in step with this computer's clock, told to whoever listens.
class Life {
public:
    Life(DemoVan& van, const DemoPageSettings& settings, web::EventChannel& events)
        : van_(van), begin_(settings.begin), speed_(settings.speed), events_(events) {}

    void go_on() {
        const std::chrono::duration<double> passed = Clock::now() - started_;
        const Instant before = van_.present().estimate.at;
        const std::uint64_t times_full = van_.times_full();
        van_.live_until(begin_ + Second(passed.count() * speed_));
        if (van_.times_full() != times_full) van_.look_back();  // now the days before are known better
        if (van_.present().estimate.at > before) events_.publish("now", web::present_json(van_));
    }

private:
    DemoVan& van_;
    Instant begin_;
    double speed_;
    web::EventChannel& events_;
    Clock::time_point started_ = Clock::now();
};

std::string run_mark() { return fmt::format("{:x}", std::chrono::system_clock::now().time_since_epoch().count()); }

}  // namespace

Exit serve_demo_page(DemoVan& van, const DemoPageSettings& settings) {
    web::EventChannel events(run_mark());
    web::Routes routes;
    web::add_files(routes, web::page_files());
    web::add_page_api(routes, van, events);
    web::ServerSettings server_settings;
    server_settings.port = settings.port;
    server_settings.ports_to_try = settings.ports_to_try;
    auto server = web::Server::listen(server_settings, std::move(routes));
    if (!server) {
        fmt::print(stderr, "amphora demo: {}\n", server.error().sentence);
        return Exit::unavailable;
    }
    fmt::print("http://127.0.0.1:{}/\n", server->port());
    std::fflush(stdout);
    fmt::print(stderr, "Open that address in a browser on this computer. Ctrl-C ends the demonstration.\n");

    Life life(van, settings, events);
    server->every(tick, [&life] { life.go_on(); });
    server->keep_alive(events);
    server->stop_on_signals();
    server->run();
    return Exit::ok;
}

}  // namespace amphora::app

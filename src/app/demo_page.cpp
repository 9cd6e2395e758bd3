#include "app/demo_page.hpp"

#include <fmt/format.h>

#include <chrono>
#include <cstdio>
#include <fstream>
#include <utility>

#include "app/demo_description.hpp"
#include "io/describe/json.hpp"
#include "io/record/writer.hpp"
#include "io/web/api/desk.hpp"
#include "io/web/api/now_api.hpp"
#include "io/web/event_channel.hpp"
#include "io/web/page_files.hpp"
#include "io/web/server.hpp"

namespace amphora::app {
namespace {

using Clock = std::chrono::steady_clock;
constexpr std::chrono::milliseconds demo_tick(250);
constexpr std::chrono::milliseconds demo_tending(1000);

// What the page is told of the van.
class DemoValues : public web::LiveValues {
public:
    DemoValues(const DemoVan& van, double speed) : van_(van), speed_(speed) {}

    [[nodiscard]] const System& system() const override { return van_.system(); }
    [[nodiscard]] std::optional<web::Present> present() const override {
        web::Present present;
        present.estimate = van_.estimate();
        present.full = van_.since_full();
        present.fresh_for = Second(10);
        present.demonstration_speed = speed_;
        return present;
    }
    [[nodiscard]] std::vector<web::SourceHealth> sources() const override {
        web::SourceHealth meter;
        meter.name = van_.system().meters.empty() ? "shunt" : van_.system().meters.front().name;
        meter.kind = "invented";
        meter.state = web::SourceState::well;
        meter.last = van_.estimate().at;
        meter.interval = van_.interval();
        meter.readings = read_;
        return {meter};
    }
    void count() { ++read_; }

private:
    const DemoVan& van_;
    double speed_;
    std::uint64_t read_ = 0;
};

// The van's life in step with this computer's clock, recorded, and told to whoever listens.
class Life {
public:
    Life(DemoVan& van, const DemoPageSettings& settings, DemoValues& values, record::Writer writer)
        : van_(van), begin_(settings.begin), speed_(settings.speed), values_(values), writer_(std::move(writer)) {}

    /// True when something new was read.
    bool go_on() {
        const std::chrono::duration<double> passed = Clock::now() - started_;
        bool read = false;
        van_.live_until(begin_ + Second(passed.count() * speed_), [&](const Reading& reading) {
            (void)writer_.append(reading);  // a demonstration goes on when the disk is full
            values_.count();
            read = true;
        });
        return read;
    }
    /// Makes what was read readable for others.
    void settle() { (void)writer_.commit(); }

private:
    DemoVan& van_;
    Instant begin_;
    double speed_;
    DemoValues& values_;
    record::Writer writer_;
    Clock::time_point started_ = Clock::now();
};

std::string demo_mark() { return fmt::format("{:x}", std::chrono::system_clock::now().time_since_epoch().count()); }

// The van goes by the new description from now on, and its past is derived again.
void redescribe(const System& system, DemoVan& van, web::Desk& desk) {
    if (const auto* reader = desk.past.reader()) van.describe(system, *reader);
    const record::Origin origin{system, describe::fingerprint(system)};
    desk.past.forget(origin);
    const auto file = desk.past.file();
    desk.work.begin(
        "derive",
        [file, origin, days = desk.days](const web::Tell& tell) -> web::Outcome {
            const auto derived = record::derive(file, origin, days, tell);
            if (!derived) return {false, nullptr, derived.error().message};
            return {true, nullptr, "The past was worked out again by the new description."};
        },
        [&desk] { desk.past.forget(); });
}

}  // namespace

Exit serve_demo_page(DemoVan& van, const DemoPageSettings& settings) {
    const auto description = settings.folder / "blue-heron.toml";
    std::ofstream(description, std::ios::binary) << demo_description();
    auto writer = record::Writer::open(record_in(settings.folder),
                                       {.durability = Second(86400), .days = record::LocalDays::utc(), .vfs = {}});
    if (!writer) {
        fmt::print(stderr, "amphora demo: {}\n", writer.error().message);
        return Exit::cannot_create;
    }
    DemoValues values(van, settings.speed);
    web::Past past(record_in(settings.folder), settings.origin);
    web::DescriptionFile description_file(description);
    web::Work work;
    web::Desk desk{values, past, description_file, work, settings.folder};
    desk.on_description = [&](const System& system) { redescribe(system, van, desk); };

    web::EventChannel events(demo_mark());
    web::Routes routes;
    web::add_files(routes, web::page_files());
    web::add_api(routes, desk, events);
    web::ServerSettings server_settings;
    server_settings.port = settings.port;
    server_settings.ports_to_try = settings.ports_to_try;
    auto server = web::Server::listen(server_settings, std::move(routes));
    if (!server) {
        fmt::print(stderr, "amphora demo: {}\n", server.error().sentence);
        return Exit::unavailable;
    }
    web::tend(desk);  // the first to ask need not wait
    fmt::print("http://127.0.0.1:{}/\n", server->port());
    std::fflush(stdout);
    fmt::print(stderr, "Open that address in a browser on this computer. Ctrl-C ends the demonstration.\n");

    Life life(van, settings, values, std::move(*writer));
    server->every(demo_tick, [&] {
        if (!life.go_on()) return;
        web::keep_present(desk);
        events.publish("now", web::present_json(desk));
    });
    server->every(demo_tending, [&] {
        life.settle();
        web::tend(desk);
    });
    server->keep_alive(events);
    server->stop_on_signals();
    server->run();
    return Exit::ok;
}

}  // namespace amphora::app

#include "app/page_command.hpp"

#include <fmt/format.h>
#include <unistd.h>
#include <CLI/CLI.hpp>

#include <chrono>
#include <cstdio>
#include <filesystem>
#include <memory>

#include "app/derived_record.hpp"
#include "app/lan.hpp"
#include "app/live_place.hpp"
#include "io/live/open_metrics.hpp"
#include "io/live/socket_client.hpp"
#include "io/live/socket_values.hpp"
#include "io/live/supervisor_note.hpp"
#include "io/web/api/desk.hpp"
#include "io/web/api/now_api.hpp"
#include "io/web/entrance.hpp"
#include "io/web/event_channel.hpp"
#include "io/web/local_network.hpp"
#include "io/web/page_files.hpp"
#include "io/web/server.hpp"

namespace amphora::app {
namespace {

constexpr std::chrono::milliseconds tick(100);
constexpr std::chrono::milliseconds tending(1000);

struct PageOptions {
    RecordOptions record;
    std::string socket;
    LanOptions lan;
};

std::string run_mark() { return fmt::format("{:x}", std::chrono::system_clock::now().time_since_epoch().count()); }

/// The recorder ends in good order, and the one who looks after it starts it again with the new description.
void restart_recorder(const std::filesystem::path& socket) {
    if (auto client = live::SocketClient::connect(socket)) (void)client->ask("restart");
}

std::expected<web::ServerSettings, Exit> settings_of(const LanOptions& options, web::Entrance& entrance,
                                                     const std::filesystem::path& record) {
    web::ServerSettings settings;
    settings.address = listening_address(options);
    settings.port = options.port;
    settings.ports_to_try = 1;
    settings.hosts = hosts_of(options);
    if (!reaches_out(options)) return settings;
    settings.gates = {web::only_local_network, web::gate_of(entrance)};
    if (!options.encrypted) return settings;
    settings.gates.insert(settings.gates.begin(), web::only_encrypted(entrance));
    const auto tls = own_certificate(certificate_beside(record), options);
    if (!tls) return std::unexpected(tls.error());
    settings.tls = *tls;
    return settings;
}

/// Once the port is known.
std::expected<void, Exit> open_entrance(web::Entrance& entrance, const LanOptions& options, std::uint16_t port) {
    if (!reaches_out(options)) return {};
    const auto page = page_place(options, port);
    entrance.secure = options.encrypted;
    // A browser takes a name that begins so from nobody but who set it: RFC 6265bis, section 4.1.3.2.
    entrance.cookie = fmt::format("{}amphora_{}", options.encrypted ? "__Host-" : "", port);
    entrance.links = [page] { return page_links(page); };
    if (const auto kept = entrance.visitors.set_page(page); !kept) return std::unexpected(report(kept.error()));
    return {};
}

void print_addresses(const LanOptions& options, std::uint16_t port) {
    if (options.address.empty() || !reaches_out(options))
        fmt::print("http://{}:{}/\n", options.address.empty() ? "127.0.0.1" : options.address, port);
    if (reaches_out(options))
        for (const auto& link : page_links(page_place(options, port))) fmt::print("{}/\n", link);
    std::fflush(stdout);
}

Exit serve_page(const PageOptions& options) {
    auto place = locate_record(options.record);
    if (!place) return place.error();
    const std::filesystem::path socket(options.socket.empty() ? socket_beside(place->file).string() : options.socket);
    access::Visitors visitors{access::StateFile(access_beside(place->file))};
    if (reaches_out(options.lan))
        if (const auto ready = ensure_passphrase(visitors, options.lan); !ready) return ready.error();
    const auto scratch = std::filesystem::temp_directory_path() / fmt::format("amphora-page-{}", ::getpid());
    std::filesystem::create_directories(scratch);

    live::SocketValues values(socket, place->system);
    web::Past past(place->file, origin_of(*place));
    web::DescriptionFile description(options.record.system);
    web::Work work;
    web::Desk desk{values, past, description, work, scratch, place->days};
    desk.on_description = [&](const System& system) {
        place->system = system;
        values.describe(system);
        past.forget(origin_of(*place));
        restart_recorder(socket);
    };

    web::Entrance entrance{.visitors = visitors, .asks_here_too = options.lan.ask_here_too};
    if (reaches_out(options.lan)) desk.entrance = &entrance;

    web::EventChannel events(run_mark());
    web::Routes routes;
    web::add_files(routes, web::page_files());
    web::add_api(routes, desk, events);
    routes.get("/metrics", [&values](const web::Request&) {
        web::Response response;
        response.type = live::open_metrics_type;
        response.body = web::Body(live::open_metrics(values.newest()));
        return response;
    });
    auto settings = settings_of(options.lan, entrance, place->file);
    if (!settings) return settings.error();
    auto server = web::Server::listen(std::move(*settings), std::move(routes));
    if (!server) {
        fmt::print(stderr, "amphora page: {}\n", server.error().sentence);
        return Exit::unavailable;
    }
    if (const auto open = open_entrance(entrance, options.lan, server->port()); !open) return open.error();
    print_addresses(options.lan, server->port());

    const live::SupervisorNote note;
    note.ready();
    server->every(tick, [&, heard = std::uint64_t{0}]() mutable {
        if (heard == values.heard()) return;
        heard = values.heard();
        web::keep_present(desk);
        events.publish("now", web::present_json(desk));
    });
    server->every(tending, [&] { web::tend(desk); });
    server->keep_alive(events);
    server->stop_on_signals();
    server->run();
    note.stopping();
    std::error_code ignored;
    std::filesystem::remove_all(scratch, ignored);
    return Exit::ok;
}

}  // namespace

Command page_command(CLI::App& program) {
    auto& command = add_command(program, "page", "Show the record and the live values to browsers, beside a recorder",
                                {"amphora page --system van.toml   # `amphora serve` does it with the recorder"});
    auto options = std::make_shared<PageOptions>();
    add_record_options(command, options->record);
    command.add_option("--socket", options->socket, "the recorder's socket; if not given, beside the record")
        ->type_name("FILE");
    add_lan_options(command, options->lan);
    return {&command, [options] { return serve_page(*options); }};
}

}  // namespace amphora::app

#include "app/page_command.hpp"

#include <fmt/format.h>
#include <unistd.h>

#include <array>
#include <boost/asio/ip/address.hpp>
#include <chrono>
#include <cstdio>
#include <filesystem>
#include <memory>

#include "app/derived_record.hpp"
#include "app/live_place.hpp"
#include "io/live/open_metrics.hpp"
#include "io/live/socket_client.hpp"
#include "io/live/socket_values.hpp"
#include "io/live/supervisor_note.hpp"
#include "io/web/api/desk.hpp"
#include "io/web/api/now_api.hpp"
#include "io/web/event_channel.hpp"
#include "io/web/page_files.hpp"
#include "io/web/server.hpp"

namespace amphora::app {
namespace {

constexpr std::chrono::milliseconds tick(100);
constexpr std::chrono::milliseconds tending(1000);

struct Options {
    RecordOptions record;
    std::string socket;
    std::string address = "127.0.0.1";
    std::uint16_t port = 8765;
};

/// The names by which this computer may be called: its own for itself, its address, its name in the local network.
web::HostList hosts_for(const std::string& address) {
    std::vector<std::string> names{"127.0.0.1", "localhost", "[::1]"};
    if (address != "127.0.0.1") {
        names.push_back(address.contains(':') ? "[" + address + "]" : address);
        std::array<char, 256> name{};
        if (::gethostname(name.data(), name.size() - 1) == 0) {
            names.emplace_back(name.data());
            names.push_back(std::string(name.data()) + ".local");
        }
    }
    return web::HostList(std::move(names));
}

std::string run_mark() { return fmt::format("{:x}", std::chrono::system_clock::now().time_since_epoch().count()); }

/// The recorder ends in good order, and the one who looks after it starts it again with the new description.
void restart_recorder(const std::filesystem::path& socket) {
    if (auto client = live::SocketClient::connect(socket)) (void)client->ask("restart");
}

Exit serve_page(const Options& options) {
    auto place = locate_record(options.record);
    if (!place) return place.error();
    const std::filesystem::path socket(options.socket.empty() ? socket_beside(place->file).string() : options.socket);
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
    web::ServerSettings settings;
    settings.address = options.address;
    settings.port = options.port;
    settings.ports_to_try = 1;
    settings.hosts = hosts_for(options.address);
    auto server = web::Server::listen(settings, std::move(routes));
    if (!server) {
        fmt::print(stderr, "amphora page: {}\n", server.error().sentence);
        return Exit::unavailable;
    }
    fmt::print("http://{}:{}/\n", options.address, server->port());
    std::fflush(stdout);

    const live::SupervisorNote note;
    note.ready();
    server->every(tick, [&, heard = std::uint64_t{0}]() mutable {
        if (heard == values.heard()) return;
        heard = values.heard();
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

std::string address_fault(const std::string& address) {
    boost::system::error_code failed;
    const auto parsed = boost::asio::ip::make_address(address, failed);
    if (!failed && !parsed.is_unspecified()) return "";
    return fmt::format("expected one address of this computer, found \"{}\"; `hostname -I` lists them", address);
}

Command page_command(CLI::App& program) {
    auto& command = add_command(program, "page", "Show the record and the live values to browsers, beside a recorder",
                                {"amphora page --system van.toml   # `amphora serve` does it with the recorder"});
    auto options = std::make_shared<Options>();
    add_record_options(command, options->record);
    command.add_option("--socket", options->socket, "the recorder's socket; if not given, beside the record")
        ->type_name("FILE");
    command.add_option("--port", options->port, "port of the page")->capture_default_str()->type_name("N");
    command.add_option("--address", options->address, "address of the page")
        ->check(CLI::Validator(address_fault, ""))
        ->capture_default_str()
        ->type_name("IP");
    return {&command, [options] { return serve_page(*options); }};
}

}  // namespace amphora::app

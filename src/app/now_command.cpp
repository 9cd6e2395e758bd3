#include "app/now_command.hpp"

#include <fmt/core.h>
#include <CLI/CLI.hpp>

#include <cstdio>
#include <memory>
#include <nlohmann/json.hpp>

#include "app/live_place.hpp"
#include "app/now_text.hpp"
#include "io/live/socket_client.hpp"

namespace amphora::app {
namespace {

struct NowOptions {
    SocketOptions place;
    bool json = false;
    bool watch = false;
};

Exit gone(const std::string& why) {
    fmt::print(stderr, "amphora now: {}\n", why);
    return Exit::unavailable;
}

Exit watch(live::SocketClient& client, bool json) {
    if (!client.send({{"ask", "watch"}})) return gone("the recorder has gone");
    for (;;) {
        const auto line = client.next(std::chrono::seconds(30));
        if (!line) return gone(line.error());
        if (!line->contains("now")) return gone(line->value("error", "the recorder answered in another way"));
        const auto& now = (*line)["now"];
        fmt::print("{}", json ? now.dump() + "\n" : now_line(now));
        std::fflush(stdout);
    }
}

Exit now(const NowOptions& options) {
    const auto path = locate_socket(options.place);
    if (!path) return path.error();
    auto client = live::SocketClient::connect(*path);
    if (!client) return gone(client.error());
    if (options.watch) return watch(*client, options.json);
    const auto answer = client->ask("now");
    if (!answer) return gone(answer.error());
    if (options.json) {
        fmt::print("{}\n", answer->dump(2));
        return Exit::ok;
    }
    fmt::print("{}", now_text(*answer));
    if (const auto guards = client->ask("guards"))  // not where the description has none
        fmt::print("{}", guards_text(*guards, answer->value("at_us", std::int64_t{0})));
    return Exit::ok;
}

}  // namespace

Command now_command(CLI::App& program) {
    auto& command = add_command(program, "now", "Ask the recorder how it stands at this moment",
                                {"amphora now                           # of the service on this computer",
                                 "amphora now --system van.toml         # of a recorder started by hand",
                                 "amphora now --watch --json | jq ...   # every reading, a line of JSON each"});
    auto options = std::make_shared<NowOptions>();
    add_socket_options(command, options->place);
    command.add_flag("--json", options->json, "as JSON, nothing rounded (docs/reference/socket.md)");
    command.add_flag("--watch", options->watch, "a line for every reading, until Ctrl-C");
    return {&command, [options] { return now(*options); }};
}

}  // namespace amphora::app

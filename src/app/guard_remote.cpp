#include "app/guard_remote.hpp"

#include <fmt/core.h>

#include "app/description.hpp"
#include "app/give_up.hpp"
#include "app/now_text.hpp"
#include "io/live/socket_client.hpp"

namespace amphora::app {
namespace {

using live::SocketClient;

std::string word(const SocketClient::Json& object, const char* member) {
    const auto at = object.find(member);
    if (at == object.end() || at->is_null()) return "-";
    return at->is_string() ? at->get<std::string>() : at->dump();
}

void print_standing(const SocketClient::Json& standing) {
    for (const auto& g : standing["guards"])
        fmt::print("  {:<33}{:<10}{:>12}   {}{}\n", word(g, "name"), word(g, "phase"), word(g, "reads"),
                   word(g, "rule"), word(g, "remark").empty() ? "" : "; " + word(g, "remark"));
    for (const auto& r : standing["relays"])
        fmt::print("  relay {:<27}ordered {}, commanded {}, confirmed {}{}\n", word(r, "name"), word(r, "ordered"),
                   word(r, "commanded"), word(r, "confirmed"),
                   word(r, "trouble").empty() ? "" : "; " + word(r, "trouble"));
    fmt::print("{}", untold_text(standing));
}

/// A sentence and a code where there is nothing to ask after.
std::expected<void, Exit> have_guards(const SocketOptions& place) {
    const auto described = open_description(place.system);
    if (!described) return std::unexpected(described.error());
    if (!described->system.protection.guards.empty()) return {};
    return std::unexpected(
        give_up("guard", Exit::config,
                fmt::format("{} has no [[guard]]: nothing is watched; `amphora guard show --system {}` proposes some",
                            place.system, place.system)));
}

}  // namespace

Exit print_guards_now(const SocketOptions& place, bool json) {
    if (const auto any = have_guards(place); !any) return any.error();
    const auto socket = locate_socket(place);
    if (!socket) return socket.error();
    auto client = SocketClient::connect(*socket);
    if (!client) return give_up("guard", Exit::unavailable, client.error());
    const auto answer = client->ask("guards");
    if (!answer) return give_up("guard", Exit::unavailable, answer.error());
    if (json)
        fmt::print("{}\n", answer->dump(2));
    else
        print_standing(*answer);
    return Exit::ok;
}

Exit clear_guard(const SocketOptions& place, const std::string& name) {
    if (const auto any = have_guards(place); !any) return any.error();
    const auto socket = locate_socket(place);
    if (!socket) return socket.error();
    auto client = SocketClient::connect(*socket);
    if (!client) return give_up("guard", Exit::unavailable, client.error());
    const auto answer = client->ask("clear_guard", {{"guard", name}});
    if (!answer) return give_up("guard", Exit::unavailable, answer.error());
    if (!answer->value("cleared", false)) return give_up("guard", Exit::data, word(*answer, "why"));
    fmt::print("\"{}\" is cleared\n", name);
    return Exit::ok;
}

}  // namespace amphora::app

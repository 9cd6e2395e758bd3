#include "io/web/entrance.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "io/web/own_computer.hpp"

namespace amphora::web {
namespace {

std::string_view trimmed(std::string_view text) {
    while (text.starts_with(' ')) text.remove_prefix(1);
    while (text.ends_with(' ')) text.remove_suffix(1);
    return text;
}

// RFC 6265, section 4.2.
std::string_view cookie_value(std::string_view header, std::string_view name) {
    while (!header.empty()) {
        const std::size_t end = std::min(header.find(';'), header.size());
        const std::string_view pair = trimmed(header.substr(0, end));
        header.remove_prefix(std::min(end + 1, header.size()));
        if (pair.size() > name.size() && pair.starts_with(name) && pair[name.size()] == '=')
            return pair.substr(name.size() + 1);
    }
    return {};
}

Caller caller(const Entrance& entrance, std::string_view cookie, std::string_view authorization, std::string_view peer,
              std::string_view here) {
    return {!entrance.asks_here_too && is_own_computer(peer, here),
            entrance.visitors.find(secret_in(entrance, cookie, authorization))};
}

Response unknown() {
    Response response = problem(401, "Sign in first: open this server's page in a browser.");
    response.headers.emplace_back("WWW-Authenticate", "Bearer");
    return response;
}

}  // namespace

std::string_view secret_in(const Entrance& entrance, std::string_view cookie, std::string_view authorization) {
    static constexpr std::string_view bearer = "Bearer ";
    if (authorization.starts_with(bearer)) return trimmed(authorization.substr(bearer.size()));
    return cookie_value(cookie, entrance.cookie);
}

Caller caller_of(const Entrance& entrance, const Request& request) {
    return caller(entrance, request.cookie, request.authorization, request.peer, request.here);
}

Gate gate_of(Entrance& entrance) {
    return [&entrance](const Head& head, const Route& route) -> std::optional<Response> {
        if (route.access == Access::knock) return std::nullopt;
        const Caller who = caller(entrance, head.cookie, head.authorization, head.peer, head.here);
        if (!who.may_look()) return unknown();
        if (route.method == Method::get || who.may_change()) return std::nullopt;
        return problem(403,
                       "This device may look and nothing more. Sign in with the passphrase, or have it let in anew, to "
                       "make changes.");
    };
}

Gate only_encrypted(const Entrance& entrance) {
    return [&entrance](const Head& head, const Route& route) -> std::optional<Response> {
        const bool here = !entrance.asks_here_too && is_own_computer(head.peer, head.here);
        if (head.encrypted || here) return std::nullopt;
        if (route.method != Method::get)
            return problem(403, "Send this encrypted: the address of the page begins with https.");
        Response response = problem(308, "This page is encrypted: its address begins with https.");
        response.headers.emplace_back("Location", fmt::format("https://{}{}", head.host, head.target));
        return response;
    };
}

std::string cookie_line(const Entrance& entrance, std::string_view secret) {
    const auto lasts = secret.empty() ? std::chrono::seconds(0) : std::chrono::seconds(access::device_lasts);
    return fmt::format("{}={}; Path=/; Max-Age={}; HttpOnly; SameSite=Strict{}", entrance.cookie, secret, lasts.count(),
                       entrance.secure ? "; Secure" : "");
}

}  // namespace amphora::web

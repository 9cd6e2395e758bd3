#include "io/web/door.hpp"

#include <algorithm>
#include <cctype>
#include <string>
#include <utility>

namespace amphora::web {
namespace {

std::unexpected<Response> refuse(unsigned status, std::string_view sentence) {
    return std::unexpected(problem(status, sentence));
}

// Neither of these can be sent by a form of another site's page without the browser asking first.
bool is(BodyKind kind, std::string_view type) {
    type = type.substr(0, type.find(';'));
    while (type.ends_with(' ')) type.remove_suffix(1);
    return type == (kind == BodyKind::json ? "application/json" : "application/octet-stream");
}

bool is_chunked(std::string_view coding) {
    return std::ranges::equal(coding, std::string_view("chunked"),
                              [](unsigned char a, unsigned char b) { return std::tolower(a) == b; });
}

// A browser names the origin of every POST, so a page of another site gives itself away; a script sends none.
bool from_own_page(const Head& head) {
    if (!head.fetch_site.empty() && head.fetch_site != "same-origin" && head.fetch_site != "none") return false;
    if (head.origin.empty()) return true;
    return head.origin == "http://" + std::string(head.host) || head.origin == "https://" + std::string(head.host);
}

}  // namespace

std::optional<Response> ask(std::span<const Gate> gates, const Head& head, const Route& route) {
    for (const Gate& gate : gates)
        if (auto refusal = gate(head, route)) return refusal;
    return std::nullopt;
}

std::expected<Admitted, Response> admit(const Head& head, const Routes& routes, const HostList& hosts,
                                        std::span<const Gate> gates) {
    if (head.hosts != 1) return refuse(400, "Send exactly one Host header.");
    if (!hosts.knows(head.host) && !HostList::is_address(head.host, head.here)) {
        return refuse(421, "This server does not go by that name. Use the address it printed when it started.");
    }
    if (!head.target.starts_with('/')) return refuse(400, "Ask for a path that begins with '/'.");
    const std::string_view path = head.target.substr(0, head.target.find('?'));
    auto query =
        Query::parse(path.size() == head.target.size() ? std::string_view{} : head.target.substr(path.size() + 1));
    if (!query) return refuse(400, "What follows the '?' cannot be read: check its percent-encoding.");

    const std::string_view allowed = routes.allowed(path);
    if (allowed.empty()) return refuse(404, "There is nothing at this path.");
    const bool reads = head.method == "GET" || head.method == "HEAD";
    const Route* route =
        reads || head.method == "POST" ? routes.find(reads ? Method::get : Method::post, path) : nullptr;
    if (route == nullptr) {
        Response response = problem(405, "This path does not answer that method.");
        response.allow = allowed;
        return std::unexpected(std::move(response));
    }
    // With another coding nobody knows where the body ends and the next request begins (RFC 9112, 6.3).
    const bool chunked = head.transfer_encoding.has_value();
    if (chunked && !is_chunked(*head.transfer_encoding)) return refuse(400, "Send the body as it is or in chunks.");
    if (!head.content_encoding.empty()) return refuse(415, "Send the body as it is, without a content coding.");
    if (head.content_length.value_or(0) > route->body_limit || (chunked && route->body_limit == 0)) {
        return refuse(413, "The body is larger than this path takes.");
    }
    if (route->method == Method::post) {
        if (!is(route->body, head.content_type)) {
            return refuse(415, route->body == BodyKind::json
                                   ? "Send JSON, with Content-Type: application/json."
                                   : "Send the bytes as they are, with Content-Type: application/octet-stream.");
        }
        if (!from_own_page(head)) return refuse(403, "Only this server's own page may do this.");
    }
    if (auto refusal = ask(gates, head, *route)) return std::unexpected(std::move(*refusal));
    return Admitted{route, Request{path, std::move(*query), {}, head.cookie, head.authorization, head.peer, head.here}};
}

}  // namespace amphora::web

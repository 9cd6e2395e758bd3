#include "io/web/reply.hpp"

#include <charconv>
#include <utility>

namespace amphora::web {
namespace {

constexpr std::pair<std::string_view, std::string_view> always[] = {
    {"Content-Security-Policy",
     "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; font-src 'self'; "
     "connect-src 'self'; manifest-src 'self'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'"},
    {"X-Content-Type-Options", "nosniff"},
    {"X-Frame-Options", "DENY"},
    {"Referrer-Policy", "no-referrer"},
    {"Cross-Origin-Resource-Policy", "same-origin"},
    {"Cross-Origin-Opener-Policy", "same-origin"},
};

std::string_view cache_control(Keep keep) {
    switch (keep) {
        case Keep::never:
            return "no-store";
        case Keep::ask_again:
            return "no-cache";
        case Keep::for_ever:
            break;
    }
    return "public, max-age=31536000, immutable";
}

// RFC 9110, section 12.5.3: a coding is refused by a weight of 0.
bool refused(std::string_view parameters) {
    const std::size_t at = parameters.find("q=");
    if (at == std::string_view::npos) return false;
    double weight = 0;
    std::from_chars(parameters.data() + at + 2, parameters.data() + parameters.size(), weight);
    return weight <= 0;
}

bool takes_gzip(std::string_view accept) {
    while (!accept.empty()) {
        std::string_view item = accept.substr(0, accept.find(','));
        accept.remove_prefix(item.size() == accept.size() ? item.size() : item.size() + 1);
        while (item.starts_with(' ')) item.remove_prefix(1);
        if (!item.starts_with("gzip")) continue;
        return !refused(item);
    }
    return false;
}

Reply with_status(unsigned status) {
    Reply reply;
    reply.status = status;
    reply.headers.assign(std::begin(always), std::end(always));
    return reply;
}

}  // namespace

Reply reply_to(const Wishes& wishes, Response response) {
    const bool same = response.status == 200 && !response.tag.empty() &&
                      wishes.if_none_match.find(response.tag) != std::string_view::npos;
    Reply reply = with_status(same ? 304 : response.status);
    reply.headers.emplace_back("Cache-Control", cache_control(response.keep));
    if (!response.tag.empty()) reply.headers.emplace_back("ETag", response.tag);
    const bool has_gzip = !response.gzipped.bytes().empty();
    if (has_gzip) reply.headers.emplace_back("Vary", "Accept-Encoding");
    reply.own_headers = std::move(response.headers);
    if (same) return reply;

    reply.headers.emplace_back("Content-Type", response.type);
    if (!response.allow.empty()) reply.headers.emplace_back("Allow", response.allow);
    const bool gzip = has_gzip && takes_gzip(wishes.accept_encoding);
    if (gzip) reply.headers.emplace_back("Content-Encoding", "gzip");
    reply.body = gzip ? std::move(response.gzipped) : std::move(response.body);
    reply.more = std::move(response.more);
    return reply;
}

Reply event_stream_opening() {
    Reply reply = with_status(200);
    reply.headers.emplace_back("Content-Type", "text/event-stream");
    reply.headers.emplace_back("Cache-Control", "no-store");
    return reply;
}

}  // namespace amphora::web

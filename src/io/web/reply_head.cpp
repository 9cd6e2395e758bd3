#include "io/web/reply_head.hpp"

#include <array>
#include <boost/beast/http/empty_body.hpp>
#include <boost/beast/http/message.hpp>
#include <boost/beast/http/write.hpp>
#include <ctime>
#include <sstream>

namespace amphora::web {
namespace {

namespace http = boost::beast::http;

// The date of a response as RFC 9110 wants it (IMF-fixdate).
std::string http_date() {
    std::array<char, 32> text{};
    const std::time_t now = std::time(nullptr);
    std::tm utc{};
    gmtime_r(&now, &utc);
    return {text.data(), std::strftime(text.data(), text.size(), "%a, %d %b %Y %H:%M:%S GMT", &utc)};
}

}  // namespace

std::string head_text(const Reply& reply, const BodyEnd& end) {
    http::response<http::empty_body> response;
    response.result(reply.status);
    response.reason({phrase(reply.status).data(), phrase(reply.status).size()});
    for (const auto& [name, value] : reply.headers) {
        response.set({name.data(), name.size()}, {value.data(), value.size()});
    }
    for (const auto& [name, value] : reply.own_headers) response.insert(name, value);
    response.set(http::field::date, http_date());
    response.keep_alive(end.keep_alive);
    if (end.chunked) response.chunked(true);
    if (end.length) response.content_length(*end.length);
    std::ostringstream text;
    text << response.base();
    return std::move(text).str();
}

}  // namespace amphora::web

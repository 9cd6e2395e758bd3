#include "io/web/incoming.hpp"

#include <boost/beast/core/string.hpp>
#include <boost/beast/http/error.hpp>
#include <limits>

namespace amphora::web {
namespace {

namespace asio = boost::asio;
namespace beast = boost::beast;
namespace http = beast::http;

std::string_view view(beast::string_view text) { return {text.data(), text.size()}; }

}  // namespace

Incoming::Incoming(Connection& connection, beast::flat_buffer& come) : connection_(connection), come_(come) {
    parser_.header_limit(static_cast<std::uint32_t>(come.max_size()));
    // The door knows the limit, once the path is known.
    parser_.body_limit(std::numeric_limits<std::uint64_t>::max());
}

asio::awaitable<bool> Incoming::read_header() { return read(false); }

asio::awaitable<bool> Incoming::read_body(std::size_t limit) {
    parser_.body_limit(limit);
    return read(true);
}

asio::awaitable<bool> Incoming::read(bool all) {
    parser_.eager(all);
    const auto whole = [&] { return all ? parser_.is_done() : parser_.is_header_done(); };
    while (!whole()) {
        if (come_.size() > 0) {
            come_.consume(parser_.put(come_.data(), error_));
            if (error_ && error_ != http::error::need_more) co_return false;
            if (whole()) break;
        }
        error_ = {};
        if (come_.size() == come_.max_size()) error_ = http::error::buffer_overflow;
        if (error_) co_return false;
        const std::size_t got = co_await connection_.read_some(come_.prepare(come_.max_size() - come_.size()), error_);
        come_.commit(got);
        if (error_) co_return false;
    }
    error_ = {};
    co_return true;
}

std::optional<Response> Incoming::refusal() const {
    if (error_.category() != http::make_error_code(http::error::bad_version).category()) return std::nullopt;
    if (error_ == http::error::header_limit || error_ == http::error::buffer_overflow) {
        return problem(431, "The request's header is larger than this server reads.");
    }
    if (error_ == http::error::body_limit) return problem(413, "The body is larger than this path takes.");
    return problem(400, "This is not a well-formed HTTP request.");
}

std::string_view Incoming::field(http::field name) const { return view(parser_.get()[name]); }

Head Incoming::head(std::string_view peer, std::string_view here) const {
    const auto& message = parser_.get();
    Head head;
    head.method = view(message.method_string());
    head.target = view(message.target());
    head.host = field(http::field::host);
    head.hosts = static_cast<int>(message.count(http::field::host));
    head.origin = field(http::field::origin);
    head.fetch_site = view(message["Sec-Fetch-Site"]);
    head.content_type = field(http::field::content_type);
    head.content_encoding = field(http::field::content_encoding);
    if (message.count(http::field::transfer_encoding) > 0)
        head.transfer_encoding = field(http::field::transfer_encoding);
    head.cookie = field(http::field::cookie);
    head.authorization = field(http::field::authorization);
    head.peer = peer;
    head.here = here;
    head.encrypted = connection_.encrypted();
    if (const auto length = parser_.content_length()) head.content_length = *length;
    return head;
}

Wishes Incoming::wishes() const { return {field(http::field::accept_encoding), field(http::field::if_none_match)}; }

std::string_view Incoming::last_event_id() const { return view(parser_.get()["Last-Event-ID"]); }

bool Incoming::waits_to_go_on() const {
    return takes_chunks() && beast::iequals(parser_.get()[http::field::expect], "100-continue");
}

bool Incoming::wants_head_only() const { return parser_.get().method() == http::verb::head; }

}  // namespace amphora::web

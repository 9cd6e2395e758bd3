#include "io/web/session.hpp"

#include <array>
#include <boost/asio/buffer.hpp>
#include <boost/asio/post.hpp>
#include <boost/asio/steady_timer.hpp>
#include <boost/asio/write.hpp>
#include <boost/beast/core/detect_ssl.hpp>
#include <boost/beast/core/flat_buffer.hpp>
#include <boost/beast/http.hpp>
#include <ctime>
#include <exception>
#include <functional>
#include <limits>
#include <memory>
#include <optional>
#include <stdexcept>
#include <string>

#include "io/web/connection.hpp"
#include "io/web/door.hpp"
#include "io/web/event_stream.hpp"
#include "io/web/reply.hpp"

namespace amphora::web {
namespace {

namespace asio = boost::asio;
namespace beast = boost::beast;
namespace http = beast::http;
using boost::system::error_code;
using Parser = http::request_parser<http::string_body>;

std::string_view view(beast::string_view text) { return {text.data(), text.size()}; }

Head head_of(const Parser& parser, std::string_view peer, std::string_view here, bool encrypted) {
    const auto& message = parser.get();
    Head head;
    head.method = view(message.method_string());
    head.target = view(message.target());
    head.host = view(message[http::field::host]);
    head.hosts = static_cast<int>(message.count(http::field::host));
    head.origin = view(message[http::field::origin]);
    head.fetch_site = view(message["Sec-Fetch-Site"]);
    head.content_type = view(message[http::field::content_type]);
    head.content_encoding = view(message[http::field::content_encoding]);
    head.cookie = view(message[http::field::cookie]);
    head.authorization = view(message[http::field::authorization]);
    head.peer = peer;
    head.here = here;
    head.encrypted = encrypted;
    head.chunked = parser.chunked();
    if (const auto length = parser.content_length()) head.content_length = *length;
    return head;
}

// The date of a response as RFC 9110 wants it (IMF-fixdate).
std::string http_date() {
    std::array<char, 32> text{};
    const std::time_t now = std::time(nullptr);
    std::tm utc{};
    gmtime_r(&now, &utc);
    return {text.data(), std::strftime(text.data(), text.size(), "%a, %d %b %Y %H:%M:%S GMT", &utc)};
}

template <class ResponseBody>
http::response<ResponseBody> header_of(const Reply& reply, bool keep_alive) {
    http::response<ResponseBody> response;
    response.result(reply.status);
    response.reason({phrase(reply.status).data(), phrase(reply.status).size()});
    for (const auto& [name, value] : reply.headers) {
        response.set({name.data(), name.size()}, {value.data(), value.size()});
    }
    for (const auto& [name, value] : reply.own_headers) response.insert(name, value);
    response.set(http::field::date, http_date());
    response.keep_alive(keep_alive);
    return response;
}

// A handler that throws must not take the server with it, nor tell a stranger what it threw.
Response answer(const std::function<Response()>& handle) {
    try {
        return handle();
    } catch (const std::exception&) {
        return problem(500, "Something went wrong in the program; the other pages still work.");
    }
}

bool done(const std::function<void()>& work) {
    try {
        work();
        return true;
    } catch (const std::exception&) {
        return false;
    }
}

// The status for what the parser refused.
Response refusal_of(error_code error) {
    if (error == http::error::header_limit || error == http::error::buffer_overflow) {
        return problem(431, "The request's header is larger than this server reads.");
    }
    if (error == http::error::body_limit) return problem(413, "The body is larger than this path takes.");
    return problem(400, "This is not a well-formed HTTP request.");
}

class Session {
public:
    Session(asio::ip::tcp::socket socket, Shared& shared) : stream_(std::move(socket)), shared_(shared) {
        const auto peer = stream_.socket().remote_endpoint(error_);
        if (!error_) peer_ = peer.address().to_string();
        const auto here = stream_.socket().local_endpoint(error_);
        if (!error_) here_ = here.address().to_string();
    }

    asio::awaitable<void> run() {
        auto seat = shared_.connections.admit([this] { stream_.close(); });
        if (!seat) co_return;
        error_ = stream_.socket().set_option(asio::ip::tcp::no_delay(true), error_);
        stream_.expires_after(limits().header_time);
        // One co_await in each expression: g++ 12 loses its way with `co_await a() && co_await b()`.
        if (shared_.tls != nullptr) {
            const bool met = co_await greet(*shared_.tls);
            if (!met) co_return;
        }
        for (;;) {
            const bool asks = co_await first_byte();
            if (!asks) co_return;
            const bool goes_on = co_await one_request(*seat);
            if (!goes_on) co_return;
            seat->waiting();
            stream_.expires_after(limits().idle_time);
        }
    }

private:
    const Limits& limits() const { return shared_.limits; }
    auto result() { return asio::redirect_error(asio::use_awaitable, error_); }

    // Encrypts where the client begins as TLS does. False when that came to nothing.
    asio::awaitable<bool> greet(asio::ssl::context& tls) {
        const bool begins_so = co_await beast::async_detect_ssl(stream_, buffer_, result());
        if (error_) co_return false;
        if (!begins_so) co_return true;
        stream_.encrypt(tls);
        const std::size_t used = co_await stream_.shake_hands(buffer_.data(), result());
        buffer_.consume(used);
        co_return !error_;
    }

    // Waits until some of the next request is here. False when the client leaves or sends nothing in time.
    asio::awaitable<bool> first_byte() {
        if (buffer_.size() == 0) {
            const std::size_t got = co_await stream_.async_read_some(buffer_.prepare(512), result());
            buffer_.commit(got);
        }
        co_return !error_ && buffer_.size() > 0;
    }

    // Answers one request. True when another may follow on this connection.
    asio::awaitable<bool> one_request(Connections::Seat& seat) {
        Parser parser;
        parser.header_limit(static_cast<std::uint32_t>(limits().header_bytes));
        parser.body_limit(
            std::numeric_limits<std::uint64_t>::max());  // the door knows the limit, once the path is known
        stream_.expires_after(limits().header_time);
        co_await http::async_read_header(stream_, buffer_, parser, result());
        if (error_) co_return co_await give_up();
        seat.busy();

        auto admitted =
            admit(head_of(parser, peer_, here_, stream_.encrypted()), shared_.routes, shared_.hosts, shared_.gates);
        if (!admitted) {
            co_await send(parser, std::move(admitted.error()), false);
            co_return co_await part();
        }
        const Route& route = *admitted->route;
        if (route.events != nullptr) co_return co_await become_stream(parser, route);
        if (!parser.is_done()) {
            const bool whole = co_await read_body(parser, route);
            if (!whole) co_return false;
        }
        admitted->request.body = parser.get().body();
        const bool more = parser.get().keep_alive();
        Response response = answer([&] { return route.handle(admitted->request); });
        if (response.errand) response = co_await run(response.errand);
        const bool sent = co_await send(parser, std::move(response), more);
        co_return sent&& more;
    }

    // Waits, while others are served, until the errand is done in the other thread.
    asio::awaitable<Response> run(std::shared_ptr<const Errand> errand) {
        if (shared_.errands_open >= limits().errands)
            co_return problem(503, "Others are being let in at this moment. Try again in a few seconds.");
        ++shared_.errands_open;
        bool over = false, well = false;
        asio::steady_timer waiting(stream_.get_executor(), asio::steady_timer::time_point::max());
        asio::post(shared_.errands, [&, loop = stream_.get_executor()] {
            const bool did = done(errand->elsewhere);
            asio::post(loop, [&, did] {
                over = true;
                well = did;
                waiting.cancel();
            });
        });
        error_code woken;
        while (!over) co_await waiting.async_wait(asio::redirect_error(asio::use_awaitable, woken));
        --shared_.errands_open;
        co_return answer(well ? errand->after : []() -> Response { throw std::runtime_error("errand"); });
    }

    asio::awaitable<bool> read_body(Parser& parser, const Route& route) {
        parser.body_limit(route.body_limit);
        stream_.expires_after(limits().body_time);
        if (beast::iequals(parser.get()[http::field::expect], "100-continue")) {
            static constexpr std::string_view go_on = "HTTP/1.1 100 Continue\r\n\r\n";
            co_await asio::async_write(stream_, asio::buffer(go_on), result());
            if (error_) co_return false;
        }
        co_await http::async_read(stream_, buffer_, parser, result());
        if (error_) co_return co_await give_up();
        co_return true;
    }

    asio::awaitable<bool> send(const Parser& parser, Response response, bool keep_alive) {
        const auto& request = parser.get();
        const Wishes wishes{view(request[http::field::accept_encoding]), view(request[http::field::if_none_match])};
        co_return co_await send(reply_to(wishes, std::move(response)), keep_alive,
                                request.method() == http::verb::head);
    }

    asio::awaitable<bool> send(Reply reply, bool keep_alive, bool without_body) {
        if (reply.more && !without_body) co_return co_await send_pieces(reply, keep_alive);
        auto response = header_of<http::span_body<const char>>(reply, keep_alive);
        response.body() = {reply.body.bytes().data(), reply.body.bytes().size()};
        if (reply.status != 304) response.content_length(reply.body.bytes().size());
        http::serializer<false, http::span_body<const char>> serializer(response);
        stream_.expires_after(limits().write_time);
        if (without_body) {
            co_await http::async_write_header(stream_, serializer, result());
        } else {
            co_await http::async_write(stream_, serializer, result());
        }
        co_return !error_;
    }

    // A body of unknown length, in chunks. Each piece is made when the one before it has gone, so that a slow client
    // costs no memory.
    asio::awaitable<bool> send_pieces(const Reply& reply, bool keep_alive) {
        auto response = header_of<http::empty_body>(reply, keep_alive);
        response.chunked(true);
        http::serializer<false, http::empty_body> serializer(response);
        stream_.expires_after(limits().write_time);
        co_await http::async_write_header(stream_, serializer, result());
        while (!error_) {
            const std::string piece = next_piece(reply);
            stream_.expires_after(limits().write_time);
            if (piece.empty()) break;
            co_await asio::async_write(stream_, http::make_chunk(asio::buffer(piece)), result());
        }
        if (!error_ && !broken_) co_await asio::async_write(stream_, http::make_chunk_last(), result());
        co_return !error_ && !broken_;
    }

    // One that cannot be made ends the connection without the last chunk, so that the client knows that it is not all.
    std::string next_piece(const Reply& reply) {
        try {
            return reply.more();
        } catch (const std::exception&) {
            broken_ = true;
            return {};
        }
    }

    asio::awaitable<bool> become_stream(const Parser& parser, const Route& route) {
        if (shared_.event_streams >= limits().event_streams) {
            co_return co_await send(parser, problem(503, "Too many pages are watching; close one and try again."),
                                    true);
        }
        const auto response = header_of<http::empty_body>(event_stream_opening(), false);
        http::serializer<false, http::empty_body> serializer(response);
        stream_.expires_after(limits().write_time);
        co_await http::async_write_header(stream_, serializer, result());
        if (error_ || parser.get().method() == http::verb::head) co_return false;
        ++shared_.event_streams;
        const auto welcome = [&] {
            return !ask(shared_.gates, head_of(parser, peer_, here_, stream_.encrypted()), route);
        };
        co_await send_events(stream_, *route.events, std::string(view(parser.get()["Last-Event-ID"])), limits(),
                             welcome);
        --shared_.event_streams;
        co_return false;
    }

    // After an error while reading: an answer where the client broke a rule, none where it left or was too slow.
    asio::awaitable<bool> give_up() {
        const error_code why = error_;
        if (why.category() != http::make_error_code(http::error::bad_version).category() ||
            why == http::error::end_of_stream || why == http::error::partial_message) {
            co_return false;
        }
        co_await send(reply_to({}, refusal_of(why)), false, false);
        co_return co_await part();
    }

    // Closes so that the answer arrives although the client is still sending: it is read from for a moment more, into
    // the same small buffer, and then dropped.
    asio::awaitable<bool> part() {
        error_ = stream_.socket().shutdown(asio::socket_base::shutdown_send, error_);
        stream_.expires_after(std::chrono::seconds(1));
        buffer_.clear();
        for (int reads = 0; reads < 64 && !error_; ++reads) {
            co_await stream_.async_read_some(buffer_.prepare(limits().header_bytes), result());
        }
        co_return false;
    }

    Connection stream_;
    Shared& shared_;
    beast::flat_buffer buffer_{shared_.limits.header_bytes};
    error_code error_;
    std::string peer_, here_;
    bool broken_ = false;
};

}  // namespace

asio::awaitable<void> serve(asio::ip::tcp::socket socket, Shared& shared) {
    Session session(std::move(socket), shared);
    co_await session.run();
}

}  // namespace amphora::web

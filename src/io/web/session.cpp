#include "io/web/session.hpp"

#include <fmt/core.h>
#include <boost/asio/post.hpp>
#include <boost/asio/steady_timer.hpp>
#include <boost/beast/core/flat_buffer.hpp>
#include <boost/beast/http/parser.hpp>
#include <boost/beast/http/string_body.hpp>
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
#include "io/web/reply_head.hpp"

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

    // Encrypts where the client begins as TLS does: with a record of type handshake (RFC 8446, 5.1), a byte that no
    // method of HTTP begins with. False when that came to nothing.
    asio::awaitable<bool> greet(asio::ssl::context& tls) {
        constexpr char handshake = 22;
        const bool came = co_await first_byte();
        if (!came) co_return false;
        if (*static_cast<const char*>(buffer_.data().data()) != handshake) co_return true;
        const bool agreed = co_await stream_.encrypt(tls, buffer_.data());
        buffer_.clear();
        co_return agreed;
    }

    // Waits until some of the next request is here. False when the client leaves or sends nothing in time.
    asio::awaitable<bool> first_byte() {
        if (buffer_.size() == 0) {
            const std::size_t got = co_await stream_.read_some(buffer_.prepare(512), error_);
            buffer_.commit(got);
        }
        co_return !error_ && buffer_.size() > 0;
    }

    // Reads on until the header is whole, or all of the request; error_ tells when that did not come about.
    asio::awaitable<void> read(Parser& parser, bool all) {
        parser.eager(all);
        error_ = {};
        const auto whole = [&] { return all ? parser.is_done() : parser.is_header_done(); };
        while (!whole()) {
            if (buffer_.size() > 0) {
                buffer_.consume(parser.put(buffer_.data(), error_));
                if (error_ && error_ != http::error::need_more) co_return;
                if (whole()) break;
            }
            if (buffer_.size() == buffer_.max_size())
                error_ = http::error::buffer_overflow;
            else
                error_ = {};
            if (error_) co_return;
            const std::size_t got =
                co_await stream_.read_some(buffer_.prepare(buffer_.max_size() - buffer_.size()), error_);
            buffer_.commit(got);
            if (error_ == asio::error::eof)
                error_ = parser.got_some() ? http::error::partial_message : http::error::end_of_stream;
            if (error_) co_return;
        }
        error_ = {};
    }

    // Answers one request. True when another may follow on this connection.
    asio::awaitable<bool> one_request(Connections::Seat& seat) {
        Parser parser;
        parser.header_limit(static_cast<std::uint32_t>(limits().header_bytes));
        parser.body_limit(
            std::numeric_limits<std::uint64_t>::max());  // the door knows the limit, once the path is known
        stream_.expires_after(limits().header_time);
        co_await read(parser, false);
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
            co_await stream_.write(go_on, {}, error_);
            if (error_) co_return false;
        }
        co_await read(parser, true);
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
        BodyEnd end{.keep_alive = keep_alive};
        if (reply.status != 304) end.length = reply.body.bytes().size();
        const std::string head = head_text(reply, end);
        stream_.expires_after(limits().write_time);
        co_await stream_.write(head, without_body ? std::string_view() : reply.body.bytes(), error_);
        co_return !error_;
    }

    // A body of unknown length, in chunks. Each piece is made when the one before it has gone, so that a slow client
    // costs no memory.
    asio::awaitable<bool> send_pieces(const Reply& reply, bool keep_alive) {
        const std::string head = head_text(reply, {.chunked = true, .keep_alive = keep_alive});
        stream_.expires_after(limits().write_time);
        co_await stream_.write(head, {}, error_);
        while (!error_) {
            const std::string piece = next_piece(reply);
            stream_.expires_after(limits().write_time);
            if (piece.empty()) break;
            const std::string chunk = fmt::format("{:x}\r\n{}\r\n", piece.size(), piece);
            co_await stream_.write(chunk, {}, error_);
        }
        if (!error_ && !broken_) co_await stream_.write("0\r\n\r\n", {}, error_);
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
        const std::string head = head_text(event_stream_opening(), {});
        stream_.expires_after(limits().write_time);
        co_await stream_.write(head, {}, error_);
        if (error_ || parser.get().method() == http::verb::head) co_return false;
        ++shared_.event_streams;
        const auto welcome = [&, encrypted = stream_.encrypted()] {
            return !ask(shared_.gates, head_of(parser, peer_, here_, encrypted), route);
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
            co_await stream_.read_some(buffer_.prepare(limits().header_bytes), error_);
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

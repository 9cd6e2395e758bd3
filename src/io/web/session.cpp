#include "io/web/session.hpp"

#include <fmt/core.h>

#include <boost/asio/post.hpp>
#include <boost/asio/steady_timer.hpp>
#include <exception>
#include <expected>
#include <functional>
#include <memory>
#include <stdexcept>
#include <string>

#include "io/web/connection.hpp"
#include "io/web/door.hpp"
#include "io/web/event_stream.hpp"
#include "io/web/incoming.hpp"
#include "io/web/reply.hpp"
#include "io/web/reply_head.hpp"

namespace amphora::web {
namespace {

namespace asio = boost::asio;
namespace beast = boost::beast;
using boost::system::error_code;

Response went_wrong() { return problem(500, "Something went wrong in the program; the other pages still work."); }

// A handler that throws must not take the server with it, nor tell a stranger what it threw.
Response answer(const std::function<Response()>& handle) {
    try {
        return handle();
    } catch (const std::exception&) {
        return went_wrong();
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

class Session {
public:
    Session(std::unique_ptr<Connection> connection, Shared& shared)
        : stream_(std::move(connection)), shared_(shared), peer_(stream_->peer()), here_(stream_->here()) {}

    asio::awaitable<void> run() {
        auto seat = shared_.connections.admit([this] {
            if (stream_) stream_->close();
        });
        if (!seat) co_return;
        stream_->expires_after(limits().header_time);
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
            stream_->expires_after(limits().idle_time);
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
        const bool agreed = co_await stream_->encrypt(tls, buffer_.data());
        buffer_.clear();
        co_return agreed;
    }

    // Waits until some of the next request is here. False when the client leaves or sends nothing in time.
    asio::awaitable<bool> first_byte() {
        if (buffer_.size() == 0) {
            const std::size_t got = co_await stream_->read_some(buffer_.prepare(512), error_);
            buffer_.commit(got);
        }
        co_return !error_ && buffer_.size() > 0;
    }

    // Answers one request. True when another may follow on this connection.
    asio::awaitable<bool> one_request(Connections::Seat& seat) {
        Incoming request(*stream_, buffer_);
        stream_->expires_after(limits().header_time);
        const bool came = co_await request.read_header();
        if (!came) co_return co_await give_up(request);
        seat.busy();

        auto admitted = let_in(request.head(peer_, here_));
        if (!admitted) {
            co_await send(request, std::move(admitted.error()), false);
            co_return co_await part();
        }
        const Route& route = *admitted->route;
        if (route.events != nullptr) co_return co_await become_stream(request, route);
        if (!request.whole()) {
            const bool whole = co_await read_body(request, route);
            if (!whole) co_return false;
        }
        admitted->request.body = request.body();
        Response response = answer([&] { return route.handle(admitted->request); });
        if (response.errand) response = co_await run(response.errand);
        const bool sent = co_await send(request, std::move(response), request.keeps_alive());
        co_return sent&& request.keeps_alive();
    }

    std::expected<Admitted, Response> let_in(const Head& head) const {
        try {
            return admit(head, shared_.routes, shared_.hosts, shared_.gates);
        } catch (const std::exception&) {
            return std::unexpected(went_wrong());
        }
    }

    // Waits, while others are served, until the errand is done in the other thread.
    asio::awaitable<Response> run(std::shared_ptr<const Errand> errand) {
        if (shared_.errands_open >= limits().errands)
            co_return problem(503, "Others are being let in at this moment. Try again in a few seconds.");
        ++shared_.errands_open;
        bool over = false, well = false;
        const asio::any_io_executor own = co_await asio::this_coro::executor;
        asio::steady_timer waiting(own, asio::steady_timer::time_point::max());
        asio::post(shared_.errands, [&, loop = own] {
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

    asio::awaitable<bool> read_body(Incoming& request, const Route& route) {
        stream_->expires_after(limits().body_time);
        if (request.waits_to_go_on() && buffer_.size() == 0) {
            co_await stream_->write("HTTP/1.1 100 Continue\r\n\r\n", {}, error_);
            if (error_) co_return false;
        }
        const bool whole = co_await request.read_body(route.body_limit);
        if (!whole) co_await give_up(request);
        co_return whole;
    }

    asio::awaitable<bool> send(const Incoming& request, Response response, bool keep_alive) {
        if (response.more && !request.takes_chunks())
            response = problem(505, "This is sent in pieces, which HTTP/1.0 does not know. Ask with HTTP/1.1.");
        co_return co_await send(reply_to(request.wishes(), std::move(response)), keep_alive, request.wants_head_only());
    }

    asio::awaitable<bool> send(Reply reply, bool keep_alive, bool head_only) {
        if (reply.more && !head_only) co_return co_await send_pieces(reply, keep_alive);
        BodyEnd end{.chunked = reply.more != nullptr, .keep_alive = keep_alive};
        if (!end.chunked && reply.status != 304) end.length = reply.body.bytes().size();
        const std::string head = head_text(reply, end);
        stream_->expires_after(limits().write_time);
        co_await stream_->write(head, head_only ? std::string_view() : reply.body.bytes(), error_);
        co_return !error_;
    }

    // A body of unknown length, in chunks. Each piece is made when the one before it has gone, so that a slow client
    // costs no memory.
    asio::awaitable<bool> send_pieces(const Reply& reply, bool keep_alive) {
        const std::string head = head_text(reply, {.chunked = true, .keep_alive = keep_alive});
        stream_->expires_after(limits().write_time);
        co_await stream_->write(head, {}, error_);
        while (!error_) {
            const std::string piece = next_piece(reply);
            stream_->expires_after(limits().write_time);
            if (piece.empty()) break;
            const std::string chunk = fmt::format("{:x}\r\n{}\r\n", piece.size(), piece);
            co_await stream_->write(chunk, {}, error_);
        }
        if (!error_ && !broken_) co_await stream_->write("0\r\n\r\n", {}, error_);
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

    asio::awaitable<bool> become_stream(const Incoming& request, const Route& route) {
        if (shared_.event_streams >= limits().event_streams) {
            co_return co_await send(request, problem(503, "Too many pages are watching; close one and try again."),
                                    request.keeps_alive());
        }
        const std::string opening = head_text(event_stream_opening(), {});
        stream_->expires_after(limits().write_time);
        co_await stream_->write(opening, {}, error_);
        if (error_ || request.wants_head_only()) co_return false;
        ++shared_.event_streams;
        const auto welcome = [&, head = request.head(peer_, here_)] { return let_in(head).has_value(); };
        co_await send_events(std::move(stream_), *route.events, std::string(request.last_event_id()), limits(),
                             welcome);
        --shared_.event_streams;
        co_return false;
    }

    // After an error while reading: an answer where the client broke a rule, none where it left or was too slow.
    asio::awaitable<bool> give_up(const Incoming& request) {
        auto refusal = request.refusal();
        if (!refusal) co_return false;
        co_await send(reply_to({}, std::move(*refusal)), false, false);
        co_return co_await part();
    }

    // Closes so that the answer arrives although the client is still sending: it is read from for a moment more, into
    // the same small buffer, and then dropped.
    asio::awaitable<bool> part() {
        stream_->end_sending();
        stream_->expires_after(std::chrono::seconds(1));
        buffer_.clear();
        for (int reads = 0; reads < 64 && !error_; ++reads) {
            co_await stream_->read_some(buffer_.prepare(limits().header_bytes), error_);
        }
        co_return false;
    }

    std::unique_ptr<Connection> stream_;  // null once it has become a stream of events
    Shared& shared_;
    beast::flat_buffer buffer_{shared_.limits.header_bytes};
    error_code error_;
    std::string peer_, here_;
    bool broken_ = false;
};

}  // namespace

asio::awaitable<void> serve(std::unique_ptr<Connection> connection, Shared& shared) {
    try {
        Session session(std::move(connection), shared);
        co_await session.run();
    } catch (const std::exception&) {
        // Such as no memory left: this connection ends, and the others go on.
    }
}

}  // namespace amphora::web

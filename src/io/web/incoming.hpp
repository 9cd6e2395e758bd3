// One request as it comes over a connection, in whatever pieces.
#pragma once

#include "io/web/coroutine.hpp"

#include <boost/beast/core/flat_buffer.hpp>
#include <boost/beast/http/parser.hpp>
#include <boost/beast/http/string_body.hpp>
#include <optional>
#include <string>
#include <string_view>

#include "io/web/connection.hpp"
#include "io/web/door.hpp"
#include "io/web/message.hpp"
#include "io/web/reply.hpp"

namespace amphora::web {

/// Refers to the connection and to `come`, which holds what has come over it and was not read yet.
class Incoming {
public:
    /// The header may take as much as `come` holds.
    Incoming(Connection& connection, boost::beast::flat_buffer& come);

    /// Reads on until the header is whole. False when that did not come about: see refusal().
    [[nodiscard]] boost::asio::awaitable<bool> read_header();
    /// After the header: reads on until all of the request is there, its body at most so many bytes.
    [[nodiscard]] boost::asio::awaitable<bool> read_body(std::size_t limit);

    /// What is to be said to a client that broke a rule; nothing to one that has left, or was too slow.
    [[nodiscard]] std::optional<Response> refusal() const;

    [[nodiscard]] Head head(std::string_view peer, std::string_view here) const;
    [[nodiscard]] Wishes wishes() const;
    [[nodiscard]] std::string_view last_event_id() const;
    [[nodiscard]] std::string_view body() const { return parser_.get().body(); }
    [[nodiscard]] bool whole() const { return parser_.is_done(); }
    /// It waits for a word before it sends the body (RFC 9110, 10.1.1).
    [[nodiscard]] bool waits_to_go_on() const;
    /// HEAD: the answer has no body.
    [[nodiscard]] bool wants_head_only() const;
    /// A body of unknown length can be sent in chunks: not to HTTP/1.0 (RFC 9112, 6.1).
    [[nodiscard]] bool takes_chunks() const { return parser_.get().version() >= 11; }
    /// Another request may follow. Not with HTTP/1.0, which would have to be told so in a header of its own.
    [[nodiscard]] bool keeps_alive() const { return takes_chunks() && parser_.get().keep_alive(); }

private:
    using Parser = boost::beast::http::request_parser<boost::beast::http::string_body>;
    boost::asio::awaitable<bool> read(bool all);
    [[nodiscard]] std::string_view field(boost::beast::http::field name) const;

    Connection& connection_;
    boost::beast::flat_buffer& come_;
    Parser parser_;
    boost::system::error_code error_;
};

}  // namespace amphora::web

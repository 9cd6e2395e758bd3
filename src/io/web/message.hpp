// A request as a handler sees it, and the response it gives; neither knows of sockets or of the HTTP library.
#pragma once

#include <cstdint>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "io/web/query.hpp"

namespace amphora::web {

/// HEAD is answered as GET without the body, so a handler never sees it.
enum class Method : std::uint8_t { get, post };

struct Request {
    std::string_view path;
    Query query;
    std::string_view body{};
    std::string_view cookie{};         // the Cookie header as sent; empty: none
    std::string_view authorization{};  // and the Authorization header
    std::string_view peer{};           // address of the client, as text
    std::string_view here{};           // and the one at which it was reached
};

/// Bytes to send: either owned, or such as live as long as the program.
class Body {
public:
    Body() = default;
    explicit Body(std::string text) : owned_(std::make_shared<const std::string>(std::move(text))), bytes_(*owned_) {}
    static Body living_forever(std::string_view bytes) {
        Body body;
        body.bytes_ = bytes;
        return body;
    }
    [[nodiscard]] std::string_view bytes() const { return bytes_; }

private:
    std::shared_ptr<const std::string> owned_;
    std::string_view bytes_;
};

/// How long a browser may keep a response.
enum class Keep : std::uint8_t {
    never,      // figures of the moment
    ask_again,  // kept, but only shown after asking whether it is still the same (needs a tag)
    for_ever,   // the name changes when the content does
};

struct Response;

/// What takes too long to be done while everyone waits, such as hashing a passphrase.
struct Errand {
    std::function<void()> elsewhere;  // called in another thread; errands are done one after the other
    std::function<Response()> after;  // called from the server's thread when that is done: the response
};

struct Response {
    unsigned status = 200;
    std::string_view type = "text/plain; charset=utf-8";
    Body body;
    Keep keep = Keep::never;
    std::string_view tag;    // entity tag, quotes included; lives as long as the program
    Body gzipped;            // the same content for clients that take gzip; empty: none
    std::string_view allow;  // methods that would have been right, for status 405
    std::vector<std::pair<std::string, std::string>> headers;  // such as Set-Cookie; names as they go out
    /// Set: the body is what this gives, piece by piece, until it gives an empty one; it is asked from the server's
    /// thread, so a piece must not take longer than a few milliseconds.
    std::function<std::string()> more;
    /// Set: what the errand gives is sent instead of this.
    std::shared_ptr<const Errand> errand;
};

/// A refusal or an error for a person and for a script: problem details as in RFC 9457, one sentence that says what
/// to do.
Response problem(unsigned status, std::string_view sentence);

/// A response of JSON text.
Response json(std::string text);

/// The standard phrase of a status code ("Not Found"); empty for one that this server never sends.
std::string_view phrase(unsigned status);

}  // namespace amphora::web

// How a response goes out: which headers it carries, and which form of its body this client takes.
#pragma once

#include <functional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "io/web/message.hpp"

namespace amphora::web {

/// What the client said about what it takes and has.
struct Wishes {
    std::string_view accept_encoding;
    std::string_view if_none_match;
};

/// A response ready for the wire but for Date, Connection and Content-Length.
struct Reply {
    unsigned status = 200;
    std::vector<std::pair<std::string_view, std::string_view>> headers;
    std::vector<std::pair<std::string, std::string>> own_headers;  // such as are made for this one
    Body body;
    std::function<std::string()> more;  // set: the body, piece by piece
};

/// Every reply forbids framing, foreign content, inline script and style, guessing of media types and referrers.
/// Where the client already has this very content the reply is 304 without a body.
Reply reply_to(const Wishes& wishes, Response response);

/// The headers that open a stream of events.
Reply event_stream_opening();

}  // namespace amphora::web

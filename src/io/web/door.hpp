// Decides from a request's header alone whether it may come in; a refused body is never read.
#pragma once

#include <cstdint>
#include <expected>
#include <functional>
#include <optional>
#include <span>
#include <string_view>

#include "io/web/host_list.hpp"
#include "io/web/message.hpp"
#include "io/web/routes.hpp"

namespace amphora::web {

/// What the door looks at. Absent headers are empty.
struct Head {
    std::string_view method;  // as sent
    std::string_view target;
    std::string_view host;
    int hosts = 0;  // how many Host headers there were
    std::string_view origin;
    std::string_view fetch_site;
    std::string_view content_type;
    std::string_view content_encoding;
    std::optional<std::string_view> transfer_encoding;
    std::string_view cookie;
    std::string_view authorization;
    std::string_view peer;  // address of the client, as text; not from a header
    std::string_view here;  // and the one at which it was reached
    bool encrypted = false;
    std::optional<std::uint64_t> content_length;
};

/// A further check of a request that the door would let in, such as who is asking. It may refuse, by the header alone:
/// the body has not been read.
using Gate = std::function<std::optional<Response>(const Head&, const Route&)>;

/// What the first gate says that refuses; nothing when all let it in.
std::optional<Response> ask(std::span<const Gate> gates, const Head& head, const Route& route);

/// A request that was let in.
struct Admitted {
    const Route* route = nullptr;
    Request request;  // refers to what the head refers to; its body is still empty
};

/// Checks in this order: Host (421), form of the target (400), route (404, 405), transfer coding (400), content coding
/// (415), body size (413);
/// for POST also the media type (415) and that it comes from the page's own origin (403). Then asks the gates in turn.
std::expected<Admitted, Response> admit(const Head& head, const Routes& routes, const HostList& hosts,
                                        std::span<const Gate> gates = {});

}  // namespace amphora::web

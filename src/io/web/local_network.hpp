// Addresses of networks that do not reach beyond a house, a van or a boat.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "io/web/door.hpp"

namespace amphora::web {

/// True for this computer itself and for addresses that are not routed on the internet: RFC 1918, RFC 3927, RFC 4193,
/// and link-local ones of IPv6.
[[nodiscard]] bool is_local_network(std::string_view peer);

/// A gate: refuses (403) who comes from elsewhere, as where the computer has an address on the internet too.
[[nodiscard]] std::optional<Response> only_local_network(const Head& head, const Route& route);

/// What stands for the one behind an address when tries are counted: the address, or of IPv6 the /64 that it was taken
/// from, since one device has all of it.
[[nodiscard]] std::string counted_as(std::string_view peer);

/// This computer's own IPv4 addresses in local networks, but for the loopback's; as they are now.
[[nodiscard]] std::vector<std::string> own_addresses();

}  // namespace amphora::web

#include "io/web/own_computer.hpp"

#include <boost/asio/ip/address.hpp>

#include "io/web/message.hpp"

namespace amphora::web {

bool is_own_computer(std::string_view peer, std::string_view here) {
    boost::system::error_code failed;
    const auto address = boost::asio::ip::make_address(peer, failed);
    if (failed) return false;
    if (peer == here) return true;
    if (address.is_v6() && address.to_v6().is_v4_mapped())
        return boost::asio::ip::make_address_v4(boost::asio::ip::v4_mapped, address.to_v6()).is_loopback();
    return address.is_loopback();
}

std::optional<Response> changes_from_own_computer(const Head& head, const Route& route) {
    if (route.access != Access::change || is_own_computer(head.peer, head.here)) return std::nullopt;
    return problem(
        403,
        "From another device this page can only be looked at, for it asks nobody to sign in. Make changes on "
        "the computer itself, or serve it with --lan.");
}

}  // namespace amphora::web

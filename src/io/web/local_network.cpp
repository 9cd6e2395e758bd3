#include "io/web/local_network.hpp"

#include <arpa/inet.h>
#include <ifaddrs.h>
#include <net/if.h>
#include <netinet/in.h>

#include <algorithm>
#include <array>
#include <boost/asio/ip/address.hpp>
#include <memory>

#include "io/web/own_computer.hpp"

namespace amphora::web {
namespace {

namespace ip = boost::asio::ip;

std::optional<ip::address> parsed(std::string_view text) {
    boost::system::error_code failed;
    const auto address = ip::make_address(text, failed);
    if (failed) return std::nullopt;
    if (address.is_v6() && address.to_v6().is_v4_mapped()) return ip::make_address_v4(ip::v4_mapped, address.to_v6());
    return address;
}

bool is_local(ip::address_v4 address) {
    const auto bits = address.to_uint();
    return address.is_loopback() || bits >> 24U == 10 || bits >> 20U == 0xAC1 || bits >> 16U == 0xC0A8 ||
           bits >> 16U == 0xA9FE;
}

bool is_local(const ip::address_v6& address) {
    return address.is_loopback() || address.is_link_local() || (address.to_bytes()[0] & 0xFEU) == 0xFC;
}

}  // namespace

bool is_local_network(std::string_view peer) {
    const auto address = parsed(peer);
    return address && (address->is_v4() ? is_local(address->to_v4()) : is_local(address->to_v6()));
}

std::optional<Response> only_local_network(const Head& head, const Route&) {
    if (is_local_network(head.peer) || is_own_computer(head.peer, head.here)) return std::nullopt;
    return problem(403, "This page is for the local network only. Join the network that the computer is in.");
}

std::string counted_as(std::string_view peer) {
    const auto address = parsed(peer);
    if (!address) return std::string(peer);
    if (address->is_v4()) return address->to_string();
    auto bytes = address->to_v6().to_bytes();
    std::fill(bytes.begin() + 8, bytes.end(), 0);
    return ip::address_v6(bytes).to_string();
}

std::vector<std::string> own_addresses() {
    ifaddrs* raw = nullptr;
    if (::getifaddrs(&raw) != 0) return {};
    const std::unique_ptr<ifaddrs, decltype(&::freeifaddrs)> all(raw, &::freeifaddrs);
    std::vector<std::string> found;
    for (const ifaddrs* one = all.get(); one != nullptr; one = one->ifa_next) {
        if (one->ifa_addr == nullptr || one->ifa_addr->sa_family != AF_INET) continue;
        if ((one->ifa_flags & IFF_UP) == 0 || (one->ifa_flags & IFF_LOOPBACK) != 0) continue;
        std::array<char, INET_ADDRSTRLEN> text{};
        const auto* v4 = reinterpret_cast<const sockaddr_in*>(one->ifa_addr);
        if (::inet_ntop(AF_INET, &v4->sin_addr, text.data(), text.size()) != nullptr && is_local_network(text.data()))
            found.emplace_back(text.data());
    }
    return found;
}

}  // namespace amphora::web

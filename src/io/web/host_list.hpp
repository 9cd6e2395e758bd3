// Which names a browser may know this server by.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace amphora::web {

/// A web site elsewhere can point its own name at this machine's address (DNS rebinding) and then read what the server
/// says as if it were its own. Its requests still carry its name in the Host header, so only known names are answered.
/// The port is not compared: it is no defence against this, and a forwarded port is a fair use.
class HostList {
public:
    /// Names without port, lower case; an IPv6 address in brackets.
    explicit HostList(std::vector<std::string> names) : names_(std::move(names)) {}

    /// This machine by its loopback names.
    static HostList loopback() { return HostList({"127.0.0.1", "localhost", "[::1]"}); }

    /// True when `host` (a Host header's value) is one of the names, with or without a port; letter case is ignored.
    [[nodiscard]] bool knows(std::string_view host) const;

    /// True when it is the address, as text, at which the server was reached: a site elsewhere can point its name here,
    /// but it cannot be called by our address. So a computer that is given another address is still answered.
    [[nodiscard]] static bool is_address(std::string_view host, std::string_view here);

private:
    std::vector<std::string> names_;
};

}  // namespace amphora::web

// Who asks, and what they may do: the gate before a server that asks people to sign in.
#pragma once

#include <functional>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "io/access/pace.hpp"
#include "io/access/visitors.hpp"
#include "io/web/door.hpp"

namespace amphora::web {

/// Must outlive the server; used from its thread only.
struct Entrance {
    access::Visitors& visitors;
    std::string cookie =
        "amphora";        // cookies are the same for all ports of a computer, so each server has a name of its own
    bool secure = false;  // reached by TLS only
    std::function<std::vector<std::string>()>
        links{};                 // addresses of the page for other devices, such as http://192.168.8.1:8765
    bool asks_here_too = false;  // who sits at this computer has to sign in as well
    access::Pace passphrases{};
    access::Pace tokens{};
};

/// Who sent a request.
struct Caller {
    bool own_computer = false;
    std::optional<access::Device> device{};  // that signed in

    /// Who sits at the computer itself could read its files as well, so that it is not asked unless that was wanted.
    [[nodiscard]] bool may_look() const { return own_computer || device; }
    [[nodiscard]] bool may_change() const { return own_computer || (device && device->role == access::Role::full); }
};

/// By the cookie, or by `Authorization: Bearer SECRET` for scripts.
[[nodiscard]] Caller caller_of(const Entrance& entrance, const Request& request);

/// A gate: whoever reaches the server may knock; else who asks must have signed in (401), and for any POST with full
/// rights (403). It refers to the entrance.
[[nodiscard]] Gate gate_of(Entrance& entrance);

/// A gate before the other: sends who reads without encryption to where it is (308), and refuses (403) what would be
/// sent so; but not the computer itself, whose requests go through no network. It refers to the entrance.
[[nodiscard]] Gate only_encrypted(const Entrance& entrance);

/// The value of a Set-Cookie header that gives a device its secret, or takes it away where the secret is empty.
[[nodiscard]] std::string cookie_line(const Entrance& entrance, std::string_view secret);

/// What the request shows of an earlier sign-in; empty where it shows nothing.
[[nodiscard]] std::string_view secret_in(const Entrance& entrance, std::string_view cookie,
                                         std::string_view authorization);

}  // namespace amphora::web

// What is kept of who may come in: digests and names, no secret.
#pragma once

#include <chrono>
#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "io/access/secret.hpp"

namespace amphora::access {

using Moment = std::chrono::sys_seconds;

/// See everything, or change it too.
enum class Role : std::uint8_t { view, full };

struct Device {
    std::string id;  // public: it names the device in lists
    std::string name;
    Role role = Role::view;
    Digest secret{};
    Moment since;
    Moment seen;
};

/// Lets one device in, once.
struct Invitation {
    Digest token{};
    Role role = Role::view;
    Moment made;
};

/// Where the page was served last, for links to it.
struct PagePlace {
    bool secure = false;
    std::string address;  // empty: at all of this computer's
    std::uint16_t port = 8765;
    bool operator==(const PagePlace&) const = default;
};

struct State {
    std::string passphrase;  // its hash; empty: none was set yet
    std::vector<Device> devices;
    std::vector<Invitation> invitations;
    PagePlace page;
};

inline constexpr std::size_t most_devices = 64;
inline constexpr std::size_t most_invitations = 8;
inline constexpr std::chrono::minutes invitation_lasts{10};
inline constexpr std::chrono::days unused_lasts{90};  // a device that is not used
inline constexpr std::chrono::days device_lasts{400};

/// A clock that was set back makes nothing old: a computer without a clock of its own starts somewhere in the past.
[[nodiscard]] inline bool lapsed(const Device& device, Moment now) {
    return now - device.since >= device_lasts || now - device.seen >= unused_lasts;
}

/// An invitation that was made later than now was made by a clock that was wrong: it is not waited for.
[[nodiscard]] inline bool lapsed(const Invitation& invitation, Moment now) {
    return now < invitation.made || now - invitation.made >= invitation_lasts;
}

/// Empty when a device may be called this; else a sentence. What it is called is shown in terminals too.
[[nodiscard]] std::string name_fault(std::string_view name);

}  // namespace amphora::access

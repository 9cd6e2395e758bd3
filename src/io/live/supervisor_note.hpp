// Tells the one who started this program that it is ready, how it does and that it is alive: the datagrams of
// sd_notify(3), sent without its library.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "core/quantity/quantity.hpp"

namespace amphora::live {

class SupervisorNote {
public:
    /// Takes the socket's name from NOTIFY_SOCKET; without it every note is silently dropped.
    SupervisorNote();

    void ready() const { send("READY=1"); }
    void status(std::string_view text) const { send("STATUS=" + std::string(text)); }
    void alive() const { send("WATCHDOG=1"); }
    void stopping() const { send("STOPPING=1"); }

    /// How often `alive` is expected at least, from WATCHDOG_USEC; nothing where nobody waits for it.
    [[nodiscard]] std::optional<Second> watchdog() const { return watchdog_; }

private:
    void send(const std::string& note) const;

    std::string socket_;
    std::optional<Second> watchdog_;
};

}  // namespace amphora::live

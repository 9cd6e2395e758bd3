// A relay as the loop sees it: orders are begun and never waited for; what became of them is looked up later.
#pragma once

#include <cstdint>
#include <expected>
#include <memory>
#include <optional>
#include <string>

#include "core/system/protection.hpp"

namespace amphora::sink {

/// How a relay is doing. `commanded` and `confirmed` are different things: what was sent off in full, and what a
/// read-back says.
struct RelayStanding {
    std::optional<bool> commanded;
    std::optional<bool> confirmed;  // nothing where there is no read-back, or it says nothing now
    std::uint64_t orders = 0;
    std::uint64_t failures = 0;  // attempts that went wrong; each is tried again
    std::string trouble;         // the last error, in words; empty once it works again
};

class Relay {
public:
    Relay() = default;
    Relay(const Relay&) = delete;
    Relay& operator=(const Relay&) = delete;
    virtual ~Relay() = default;

    /// Begins to switch, and returns at once. A newer order takes the place of one that was not carried out.
    virtual void order(bool on) = 0;
    [[nodiscard]] virtual RelayStanding standing() const = 0;
};

/// The wire to a relay that can only be used by waiting: GPIO, Modbus. Used by one thread.
class RelayWire {
public:
    RelayWire() = default;
    RelayWire(const RelayWire&) = delete;
    RelayWire& operator=(const RelayWire&) = delete;
    virtual ~RelayWire() = default;

    /// Switches; waits for at most a second or two. The error is a sentence.
    virtual std::expected<void, std::string> put(bool on) = 0;
    /// How it stands by its read-back; nothing where there is none.
    virtual std::expected<std::optional<bool>, std::string> look() = 0;
};

/// Switches nothing and confirms everything: for trying out.
[[nodiscard]] std::unique_ptr<Relay> rehearsal_relay();

/// The wire of a relay of kind gpio, not yet opened: that is done at the first order, and anew after an error.
[[nodiscard]] std::unique_ptr<RelayWire> gpio_wire(const described::Relay& relay);

}  // namespace amphora::sink

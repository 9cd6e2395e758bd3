// How one relay ought to stand, how it was told to stand, and how it stands: three different things. The rules say the
// first, this class the second, a read-back the third.
#pragma once

#include <optional>
#include <utility>

#include "core/quantity/boot_time.hpp"
#include "core/system/protection.hpp"

namespace amphora::guard {

/// What the rules of a relay want of it at one moment.
struct Claim {
    bool held = false;      // a rule is tripped, and sees what it watches or waits for a person
    bool urgent = false;    // such a rule does not wait for minimum times
    bool blind = false;     // a rule does not know what it watches
    bool was_held = false;  // a rule that is blind was tripped when it saw last
};

class RelayKeeper {
public:
    explicit RelayKeeper(described::Relay settings) : settings_(std::move(settings)) {}

    /// Weighs the claim and the past of the relay. A value: this is to be commanded now.
    ///
    /// Order: a rule that is tripped and sees, or latches; else, after `blind_after` without sight, the safe state of
    /// the description, until sight has lasted for as long (a loose plug must not make the relay chatter); else the
    /// normal state. Until everything is known for the first time the relay is left as it is, for at most
    /// `blind_after`, unless a rule was tripped when the program ended. A change waits for the minimum times unless the
    /// rule is urgent; an order that was not confirmed is given again.
    std::optional<bool> weigh(BootTime now, const Claim& claim);

    /// What the read-back says; nothing where it says nothing now.
    void confirm(std::optional<bool> on) { confirmed_ = on; }

    [[nodiscard]] std::optional<bool> commanded() const { return commanded_; }
    [[nodiscard]] std::optional<bool> confirmed() const { return confirmed_; }
    /// In the safe state of the description, because the rules see nothing.
    [[nodiscard]] bool in_safe_state() const { return safe_; }
    /// The order is out for longer than `confirm_within`, and the read-back says otherwise.
    [[nodiscard]] bool refuses(BootTime now) const;
    [[nodiscard]] const described::Relay& settings() const { return settings_; }

private:
    [[nodiscard]] std::optional<bool> target(BootTime now, const Claim& claim);
    [[nodiscard]] bool may_change(BootTime now, const Claim& claim) const;

    described::Relay settings_;
    std::optional<bool> commanded_;
    std::optional<bool> confirmed_;
    std::optional<BootTime> blind_since_, seen_since_;
    BootTime changed_at_{};  // the order changed
    BootTime ordered_at_{};  // and was given last
    bool safe_ = false;
};

}  // namespace amphora::guard

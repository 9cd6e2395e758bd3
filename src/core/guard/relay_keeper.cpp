#include "core/guard/relay_keeper.hpp"

namespace amphora::guard {

using described::WhenBlind;

std::optional<bool> RelayKeeper::target(BootTime now, const Claim& claim) {
    if (claim.blind) {
        seen_since_.reset();
        if (!blind_since_) blind_since_ = now;
    } else {
        if (!seen_since_) seen_since_ = now;
        if (!safe_ || now - *seen_since_ >= settings_.blind_after) blind_since_.reset();
    }
    const bool long_blind = blind_since_ && now - *blind_since_ >= settings_.blind_after;
    safe_ = long_blind && !claim.held && settings_.when_blind != WhenBlind::hold;
    if (claim.held) return !settings_.normally_on;
    if (safe_) return settings_.when_blind == WhenBlind::on;
    if (claim.blind) {
        if (!commanded_ && claim.was_held) return !settings_.normally_on;
        if (!long_blind || commanded_) return commanded_;  // holds what was ordered; at the start, waits to see
    }
    return settings_.normally_on;
}

bool RelayKeeper::may_change(BootTime now, const Claim& claim) const {
    if (!commanded_ || (claim.held && claim.urgent)) return true;
    return now - changed_at_ >= (*commanded_ ? settings_.least_on : settings_.least_off);
}

std::optional<bool> RelayKeeper::weigh(BootTime now, const Claim& claim) {
    const auto wanted = target(now, claim);
    if (!wanted) return std::nullopt;
    if (commanded_ != wanted) {
        if (!may_change(now, claim)) return std::nullopt;
        commanded_ = wanted;
        changed_at_ = ordered_at_ = now;
        return wanted;
    }
    if (!refuses(now) || now - ordered_at_ < settings_.confirm_within) return std::nullopt;
    ordered_at_ = now;
    return wanted;
}

bool RelayKeeper::refuses(BootTime now) const {
    return commanded_ && confirmed_ && *confirmed_ != *commanded_ && now - changed_at_ >= settings_.confirm_within;
}

}  // namespace amphora::guard

#include "io/access/visitors.hpp"

#include <algorithm>
#include <utility>

namespace amphora::access {
namespace {

constexpr std::chrono::hours seen_is_written(1);
constexpr std::size_t session_bytes = 32;
constexpr std::size_t token_bytes = 16;

Admission add(State& state, std::string name, Role role, Moment now) {
    std::string secret = random_secret(session_bytes);
    const std::string id = to_hex(digest_of(random_secret(session_bytes))).substr(0, 12);
    std::erase_if(state.devices, [now](const Device& d) { return lapsed(d, now); });
    if (state.devices.size() >= most_devices)
        state.devices.erase(std::ranges::min_element(state.devices, {}, &Device::seen));
    state.devices.push_back({id, std::move(name), role, digest_of(secret), now, now});
    return {state.devices.back(), std::move(secret)};
}

}  // namespace

Moment now() { return std::chrono::floor<std::chrono::seconds>(std::chrono::system_clock::now()); }

const State& Visitors::state() {
    if (const FileMark mark = file_.mark(); mark_ != mark) {
        state_ = file_.read().value_or(State{});
        mark_ = mark;
    }
    return state_;
}

Result<void> Visitors::change(const std::function<bool(State&)>& how) {
    auto changed = file_.change([&](State& state) {
        for (Device& d : state.devices) d.seen = seen(d);
        return how(state);
    });
    mark_.reset();
    if (!changed) return std::unexpected(changed.error());
    return {};
}

Moment Visitors::seen(const Device& device) const {
    const auto at = seen_.find(device.id);
    return at == seen_.end() ? device.seen : std::max(device.seen, at->second);
}

std::optional<Device> Visitors::find(std::string_view secret) {
    if (secret.empty()) return std::nullopt;
    const Digest wanted = digest_of(secret);
    const Moment at = clock_();
    const auto& devices = state().devices;
    const auto found = std::ranges::find_if(devices, [&](const Device& d) { return same(d.secret, wanted); });
    if (found == devices.end()) return std::nullopt;
    Device device = *found;
    device.seen = seen(device);
    if (lapsed(device, at)) return std::nullopt;
    device.seen = at;
    seen_.insert_or_assign(device.id, at);
    return device;
}

std::string Visitors::passphrase() { return state().passphrase; }

Result<void> Visitors::set_passphrase(std::string hash) {
    return change([&](State& state) {
        state = State{std::move(hash), {}, {}, state.page};
        return true;
    });
}

Result<Admission> Visitors::admit(std::string name, Role role) {
    Admission admission;
    const auto done = change([&](State& state) {
        admission = add(state, std::move(name), role, clock_());
        return true;
    });
    if (!done) return std::unexpected(done.error());
    return admission;
}

Result<std::string> Visitors::invite(Role role) {
    std::string token = random_secret(token_bytes);
    const auto done = change([&](State& state) {
        auto& all = state.invitations;
        std::erase_if(all, [now = clock_()](const Invitation& i) { return lapsed(i, now); });
        if (all.size() >= most_invitations) all.erase(all.begin());
        all.push_back({digest_of(token), role, clock_()});
        return true;
    });
    if (!done) return std::unexpected(done.error());
    return token;
}

Result<std::optional<Admission>> Visitors::redeem(std::string_view token, std::string name) {
    std::optional<Admission> admission;
    const Digest wanted = digest_of(token);
    const auto done = change([&](State& state) {
        auto& all = state.invitations;
        const auto found = std::ranges::find_if(all, [&](const Invitation& i) { return same(i.token, wanted); });
        if (found == all.end()) return false;
        const Invitation used = *found;
        all.erase(found);
        if (!lapsed(used, clock_())) admission = add(state, std::move(name), used.role, clock_());
        return true;
    });
    if (!done) return std::unexpected(done.error());
    return admission;
}

Result<bool> Visitors::remove(std::string_view id) {
    bool found = false;
    const auto done = change([&](State& state) {
        found = std::erase_if(state.devices, [&](const Device& d) { return d.id == id; }) > 0;
        return found;
    });
    if (!done) return std::unexpected(done.error());
    return found;
}

std::vector<Device> Visitors::devices() {
    std::vector<Device> devices = state().devices;
    std::erase_if(devices, [now = clock_()](const Device& d) { return lapsed(d, now); });
    for (Device& d : devices) d.seen = seen(d);
    return devices;
}

PagePlace Visitors::page() { return state().page; }

Result<void> Visitors::set_page(const PagePlace& page) {
    return change([&](State& state) { return std::exchange(state.page, page) != page; });
}

void Visitors::tend() {
    const auto& devices = state().devices;
    std::erase_if(seen_, [&](const auto& entry) {
        return std::ranges::find(devices, entry.first, &Device::id) == devices.end();
    });
    const bool due =
        std::ranges::any_of(devices, [this](const Device& d) { return seen(d) - d.seen >= seen_is_written; });
    if (due) (void)change([](State&) { return true; });  // fails again in a second, and who signs in is told why
}

}  // namespace amphora::access

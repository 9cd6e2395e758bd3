// Who may come in: the passphrase, the devices that signed in, and invitations for more. Several processes may work on
// one file; what one changes holds for the others at once.
#pragma once

#include <expected>
#include <functional>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "io/access/state_file.hpp"

namespace amphora::access {

/// The system's clock.
[[nodiscard]] Moment now();

/// A device that was let in, and the secret that it shows from now on; it is not kept here.
struct Admission {
    Device device;
    std::string secret;
};

template <class T>
using Result = std::expected<T, StateError>;

/// For one thread.
class Visitors {
public:
    explicit Visitors(StateFile file, std::function<Moment()> clock = now)
        : file_(std::move(file)), clock_(std::move(clock)) {}

    /// The device that has this secret; nothing where there is none, or it was removed or has lapsed. Notes that it was
    /// seen. Where the file cannot be read nobody is known.
    [[nodiscard]] std::optional<Device> find(std::string_view secret);

    /// The hash of the passphrase; empty when none is set.
    [[nodiscard]] std::string passphrase();
    /// Sets another; every device has to sign in again.
    Result<void> set_passphrase(std::string hash);

    /// Lets a device in under a new secret. Where there are too many, the one that was longest not seen goes.
    Result<Admission> admit(std::string name, Role role);

    /// A token that lets one device in with this role, once, for some minutes.
    Result<std::string> invite(Role role);
    /// Lets the device in whose token this is, and ends the invitation. Nothing where it is not valid (any more).
    Result<std::optional<Admission>> redeem(std::string_view token, std::string name);

    /// From now on it is a stranger. False when there is none of this id.
    Result<bool> remove(std::string_view id);

    [[nodiscard]] std::vector<Device> devices();

    /// Where the page is served; written down only where that is new.
    [[nodiscard]] PagePlace page();
    Result<void> set_page(const PagePlace& page);

    /// Writes down who was seen when that is an hour newer than what is written: a memory card wears out.
    void tend();

    [[nodiscard]] const StateFile& file() const { return file_; }

private:
    const State& state();
    Result<void> change(const std::function<bool(State&)>& how);
    [[nodiscard]] Moment seen(const Device& device) const;

    StateFile file_;
    std::function<Moment()> clock_;
    std::optional<FileMark> mark_;  // of what state_ is
    State state_;
    std::map<std::string, Moment, std::less<>> seen_;  // by id, since it was written down
};

}  // namespace amphora::access

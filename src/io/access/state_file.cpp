#include "io/access/state_file.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstring>
#include <fstream>
#include <iterator>
#include <nlohmann/json.hpp>

#include "io/sink/output_file.hpp"

namespace amphora::access {
namespace {

using nlohmann::json;

// The folder is locked, for the file itself is another one after each change.
class FolderLock {
public:
    explicit FolderLock(const std::filesystem::path& file) {
        const auto folder = file.parent_path();
        descriptor_ = ::open(folder.empty() ? "." : folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC);
        while (descriptor_ >= 0 && ::flock(descriptor_, LOCK_EX) != 0 && errno == EINTR) {
        }
    }
    FolderLock(const FolderLock&) = delete;
    FolderLock& operator=(const FolderLock&) = delete;
    FolderLock(FolderLock&&) = delete;
    FolderLock& operator=(FolderLock&&) = delete;
    ~FolderLock() {
        if (descriptor_ >= 0) ::close(descriptor_);
    }

private:
    int descriptor_ = -1;
};

std::int64_t seconds(Moment at) { return at.time_since_epoch().count(); }
Moment moment(const json& value) { return Moment(std::chrono::seconds(value.get<std::int64_t>())); }

std::string word(Role role) { return role == Role::full ? "full" : "view"; }
Role role(const json& value) { return value == "full" ? Role::full : Role::view; }

Digest digest(const json& value) {
    const auto read = from_hex(value.get<std::string>());
    if (!read) throw std::invalid_argument("no digest");
    return *read;
}

std::string text_of(const State& state) {
    json devices = json::array();
    for (const auto& d : state.devices)
        devices.push_back({{"id", d.id},
                           {"name", d.name},
                           {"role", word(d.role)},
                           {"secret", to_hex(d.secret)},
                           {"since", seconds(d.since)},
                           {"seen", seconds(d.seen)}});
    json invitations = json::array();
    for (const auto& i : state.invitations)
        invitations.push_back({{"token", to_hex(i.token)}, {"role", word(i.role)}, {"made", seconds(i.made)}});
    const json page{{"secure", state.page.secure}, {"address", state.page.address}, {"port", state.page.port}};
    const json all{{"format", 1},
                   {"passphrase", state.passphrase},
                   {"devices", devices},
                   {"invitations", invitations},
                   {"page", page}};
    return all.dump(1) + "\n";
}

// Throws what nlohmann-json throws, and invalid_argument.
State state_of(const std::string& text) {
    const json all = json::parse(text);
    if (all.at("format") != 1) throw std::invalid_argument("another format");
    State state;
    state.passphrase = all.at("passphrase").get<std::string>();
    for (const auto& d : all.at("devices"))
        state.devices.push_back({d.at("id"), d.at("name"), role(d.at("role")), digest(d.at("secret")),
                                 moment(d.at("since")), moment(d.at("seen"))});
    for (const auto& i : all.at("invitations"))
        state.invitations.push_back({digest(i.at("token")), role(i.at("role")), moment(i.at("made"))});
    const json& page = all.at("page");
    state.page = {page.at("secure"), page.at("address"), page.at("port")};
    return state;
}

}  // namespace

std::string name_fault(std::string_view name) {
    if (name.empty() || name.size() > 60) return "Give the device a name of at most 60 bytes.";
    for (std::size_t i = 0; i < name.size(); ++i) {
        const auto c = static_cast<unsigned char>(name[i]);
        // Also those control characters that UTF-8 writes as two bytes.
        const bool second = c == 0xC2 && i + 1 < name.size() && static_cast<unsigned char>(name[i + 1]) < 0xA0;
        if (c < 0x20 || c == 0x7F || second) return "A device's name has no control characters.";
    }
    return "";
}

std::expected<State, StateError> StateFile::read() const {
    std::error_code none;
    if (!std::filesystem::exists(path_, none)) return State{};
    std::ifstream in(path_, std::ios::binary);
    const std::string text{std::istreambuf_iterator<char>(in), {}};
    if (!in)
        return std::unexpected(StateError{
            StateFault::unreadable, fmt::format("{}: cannot be read: {}. It belongs to the user who serves the page.",
                                                path_.string(), std::strerror(errno))});
    try {
        return state_of(text);
    } catch (const std::exception&) {
        return std::unexpected(
            StateError{StateFault::damaged,
                       fmt::format("{}: is not as the program wrote it. Move it away and set a passphrase anew with "
                                   "`amphora devices passphrase`; every device then signs in again.",
                                   path_.string())});
    }
}

std::expected<State, StateError> StateFile::change(const std::function<bool(State&)>& how) const {
    const FolderLock lock(path_);
    auto state = read();
    if (!state || !how(*state)) return state;
    if (const auto done = sink::replace_file(path_.string(), text_of(*state), sink::Readers::owner); !done)
        return std::unexpected(StateError{StateFault::unwritable, done.error().message});
    return state;
}

FileMark StateFile::mark() const {
    struct stat about{};
    if (::stat(path_.c_str(), &about) != 0) return {};
    return {about.st_ino, (std::int64_t{about.st_mtim.tv_sec} * 1'000'000'000) + about.st_mtim.tv_nsec,
            static_cast<std::uint64_t>(about.st_size)};
}

}  // namespace amphora::access

#include "io/describe/line_checks.hpp"

#include <fmt/format.h>

#include <map>
#include <string>
#include <string_view>

#include "io/describe/phrases.hpp"

namespace amphora::describe {
namespace {

using described::Parity;
using described::SerialLine;
using described::SourceKind;

struct User {
    std::string name;  // "source \"shunt\""
    bool modbus = false;
    SerialLine line;
    std::string path;
};

std::string_view word(Parity parity) {
    return parity == Parity::even ? "even" : parity == Parity::odd ? "odd" : "none";
}

/// Everyone who uses a serial port, by the port; in the order of the description, sources first.
std::map<std::string, std::vector<User>> users_of(const Draft& draft) {
    std::map<std::string, std::vector<User>> users;
    const auto& sources = draft.system.live.sources;
    for (std::size_t i = 0; i < sources.size(); ++i) {
        const auto& s = sources[i];
        const bool modbus = s.kind == SourceKind::modbus || s.kind == SourceKind::sunspec;
        if (!s.at.starts_with('/') || !(modbus || s.kind == SourceKind::serial)) continue;
        users[s.at].push_back(
            {fmt::format("source \"{}\"", printable(s.name)), modbus, s.serial, draft.instances.at("source")[i]});
    }
    const auto& relays = draft.system.protection.relays;
    for (std::size_t i = 0; i < relays.size(); ++i) {
        const auto& r = relays[i];
        if (r.kind != described::RelayKind::modbus || !r.at.starts_with('/')) continue;
        users[r.at].push_back({fmt::format("relay \"{}\"", printable(r.name)), true, r.serial, numbered("relay", i)});
    }
    return users;
}

void compare(Draft& draft, const std::string& port, const User& first, const User& other) {
    const auto mistake = [&](std::string_view key, const std::string& expected, const std::string& found) {
        draft.mistake_in(other.path, key,
                         fmt::format("expected {}, as {} has it on the same port {}, found {}", expected, first.name,
                                     printable(port), found));
    };
    if (!first.modbus || !other.modbus) {
        draft.mistake_in(
            other.path, "at",
            fmt::format("expected a port of its own, found {} again, which is {}'s", printable(port), first.name));
        return;
    }
    if (first.line.baud != other.line.baud)
        mistake("baud", fmt::format("{}", first.line.baud), fmt::format("{}", other.line.baud));
    if (first.line.parity != other.line.parity)
        mistake("parity", fmt::format("\"{}\"", word(first.line.parity)),
                fmt::format("\"{}\"", word(other.line.parity)));
}

}  // namespace

void check_serial_lines(Draft& draft) {
    for (const auto& [port, users] : users_of(draft))
        for (std::size_t i = 1; i < users.size(); ++i) compare(draft, port, users.front(), users[i]);
}

}  // namespace amphora::describe

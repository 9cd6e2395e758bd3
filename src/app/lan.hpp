// The page for other devices: who is asked for the passphrase, which addresses it has, how a device is let in.
#pragma once

#include <CLI/CLI.hpp>
#include <expected>
#include <filesystem>
#include <string>
#include <vector>

#include "app/exit.hpp"
#include "io/access/visitors.hpp"
#include "io/web/server.hpp"

namespace amphora::app {

struct LanOptions {
    bool lan = false;
    std::string address;  // empty: this computer's own, or with --lan every one of its IPv4 addresses
    std::uint16_t port = 8765;
    std::string passphrase_file;
    std::vector<std::string> names;
    bool ask_here_too = false;
    bool encrypted = false;
};

/// Adds --lan and what goes with it, --address and --port.
void add_lan_options(CLI::App& command, LanOptions& options);

/// The same, as words of a command line.
[[nodiscard]] std::vector<std::string> words_of(const LanOptions& options);

/// Other devices can reach it: it was asked for, or the address is not the loopback's.
[[nodiscard]] bool reaches_out(const LanOptions& options);

/// The address to listen at.
[[nodiscard]] std::string listening_address(const LanOptions& options);

/// The names by which a browser may call this computer, its addresses left out.
[[nodiscard]] std::vector<std::string> names_of(const LanOptions& options);

/// Those, and the loopback's.
[[nodiscard]] web::HostList hosts_of(const LanOptions& options);

[[nodiscard]] access::PagePlace page_place(const LanOptions& options, std::uint16_t port);

/// Where the page is for other devices, as http://192.168.8.1:8765; none where this computer is in no network.
[[nodiscard]] std::vector<std::string> page_links(const access::PagePlace& page);

/// The certificate in this file, made where there is none. What is wrong is said on stderr, and the fingerprint of a
/// new one.
std::expected<web::Tls, Exit> own_certificate(const std::filesystem::path& file, const LanOptions& options);

/// Makes sure that there is a passphrase: sets that of the file, or of systemd's credential, or one that a person at
/// the terminal chooses. What is wrong is said on stderr.
std::expected<void, Exit> ensure_passphrase(access::Visitors& visitors, const LanOptions& options);

/// Sets another one, from the file or by asking.
std::expected<void, Exit> choose_passphrase(access::Visitors& visitors, const LanOptions& options);

/// Invites one device, and prints the code and the link for it on stderr.
std::expected<void, Exit> print_invitation(access::Visitors& visitors, const access::PagePlace& page,
                                           access::Role role);

[[nodiscard]] Exit report(const access::StateError& error);

}  // namespace amphora::app

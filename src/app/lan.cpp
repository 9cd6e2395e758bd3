#include "app/lan.hpp"

#include <fmt/format.h>
#include <unistd.h>

#include <array>
#include <boost/asio/ip/address.hpp>
#include <charconv>
#include <cstdio>

#include "app/passphrase.hpp"
#include "app/terminal.hpp"
#include "io/access/certificate.hpp"
#include "io/access/pairing_code.hpp"
#include "io/access/passphrase.hpp"
#include "io/web/local_network.hpp"

namespace amphora::app {
namespace {

std::string port_fault(const std::string& port) {
    int number = -1;
    const auto [end, error] = std::from_chars(port.data(), port.data() + port.size(), number);
    const bool whole = error == std::errc() && end == port.data() + port.size();
    if (whole && number >= 0 && number <= 65'535) return "";
    return fmt::format("expected a port from 1 to 65535, found \"{}\"", port);
}

std::string address_fault(const std::string& address) {
    boost::system::error_code failed;
    const auto parsed = boost::asio::ip::make_address(address, failed);
    if (!failed && !parsed.is_unspecified()) return "";
    return fmt::format("expected one address of this computer, found \"{}\"; `hostname -I` lists them", address);
}

bool is_loopback(const std::string& address) {
    boost::system::error_code failed;
    const auto parsed = boost::asio::ip::make_address(address, failed);
    return !failed && parsed.is_loopback();
}

std::expected<void, Exit> set(access::Visitors& visitors, const std::expected<std::string, std::string>& passphrase) {
    if (!passphrase) {
        fmt::print(stderr,
                   "amphora: {}. Other devices sign in with a passphrase: give it in a file, with "
                   "--passphrase-file.\n",
                   passphrase.error());
        return std::unexpected(Exit::config);
    }
    const std::string before = visitors.passphrase();
    if (!before.empty() && access::matches(before, *passphrase)) return {};
    const auto hash = access::hash_passphrase(*passphrase);
    if (!hash) {
        fmt::print(stderr, "amphora: {}\n", hash.error());
        return std::unexpected(Exit::temporary);
    }
    if (const auto done = visitors.set_passphrase(*hash); !done) return std::unexpected(report(done.error()));
    return {};
}

}  // namespace

void add_lan_options(CLI::App& command, LanOptions& options) {
    command.add_flag("--lan", options.lan,
                     "for telephones and other devices in the local network too: they sign in with a passphrase, which "
                     "is asked for once, or are let in by a code that their camera reads");
    command
        .add_option("--address", options.address,
                    "one address of this computer, instead of all that are in local networks; implies --lan")
        ->check(CLI::Validator(address_fault, ""))
        ->type_name("IP");
    command.add_option("--port", options.port, "port of the page")
        ->check(CLI::Validator(port_fault, ""))
        ->capture_default_str()
        ->type_name("N");
    command
        .add_option("--passphrase-file", options.passphrase_file,
                    "with --lan: the passphrase is the first line of this file; it is not asked for")
        ->type_name("FILE");
    command
        .add_option("--known-as", options.names,
                    "with --lan: another name by which browsers reach this computer, as a router may give it")
        ->type_name("NAME");
    command
        .add_flag("--encrypted", options.encrypted,
                  "with --lan: by https, with a certificate that is made once; each browser warns of it until it is "
                  "trusted")
        ->needs("--lan");
    command.add_flag("--ask-here-too", options.ask_here_too,
                     "with --lan: whoever sits at this computer has to sign in as well, as where another server on it "
                     "hands requests on");
}

std::vector<std::string> words_of(const LanOptions& options) {
    std::vector<std::string> words{"--port", std::to_string(options.port)};
    if (options.lan) words.emplace_back("--lan");
    if (!options.address.empty()) words.insert(words.end(), {"--address", options.address});
    if (options.encrypted) words.emplace_back("--encrypted");
    if (options.ask_here_too) words.emplace_back("--ask-here-too");
    for (const auto& name : options.names) words.insert(words.end(), {"--known-as", name});
    return words;
}

bool reaches_out(const LanOptions& options) {
    return options.lan || (!options.address.empty() && !is_loopback(options.address));
}

std::string listening_address(const LanOptions& options) {
    if (!options.address.empty()) return options.address;
    return options.lan ? "0.0.0.0" : "127.0.0.1";
}

std::vector<std::string> names_of(const LanOptions& options) {
    std::vector<std::string> names;
    std::array<char, 256> name{};
    if (::gethostname(name.data(), name.size() - 1) == 0) {
        names.emplace_back(name.data());
        names.push_back(std::string(name.data()) + ".local");
    }
    names.insert(names.end(), options.names.begin(), options.names.end());
    return names;
}

web::HostList hosts_of(const LanOptions& options) {
    std::vector<std::string> names{"127.0.0.1", "localhost", "[::1]"};
    if (reaches_out(options))
        for (auto& name : names_of(options)) names.push_back(std::move(name));
    return web::HostList(std::move(names));
}

std::expected<web::Tls, Exit> own_certificate(const std::filesystem::path& file, const LanOptions& options) {
    auto names = names_of(options);
    names.emplace_back("localhost");
    auto addresses = options.address.empty() ? web::own_addresses() : std::vector{options.address};
    addresses.emplace_back("127.0.0.1");
    std::error_code none;
    const auto before = std::filesystem::last_write_time(file, none);
    const auto made = access::certificate_in(file, names, addresses, access::now());
    if (!made) {
        fmt::print(stderr, "amphora: {}\n", made.error());
        return std::unexpected(Exit::cannot_create);
    }
    if (none || std::filesystem::last_write_time(file, none) != before)
        fmt::print(stderr,
                   "A certificate was made. Each browser warns of it, once; what it shows then must be\n    {}\n",
                   made->fingerprint);
    return web::Tls{made->chain, made->key};
}

access::PagePlace page_place(const LanOptions& options, std::uint16_t port) {
    return {options.encrypted, options.address, port};
}

std::vector<std::string> page_links(const access::PagePlace& page) {
    const auto addresses = page.address.empty() ? web::own_addresses() : std::vector{page.address};
    std::vector<std::string> links;
    for (const std::string& address : addresses)
        links.push_back(fmt::format("{}://{}:{}", page.secure ? "https" : "http",
                                    address.contains(':') ? "[" + address + "]" : address, page.port));
    return links;
}

std::expected<void, Exit> ensure_passphrase(access::Visitors& visitors, const LanOptions& options) {
    if (const auto state = visitors.file().read(); !state) return std::unexpected(report(state.error()));
    const std::string file = options.passphrase_file.empty() ? passphrase_credential() : options.passphrase_file;
    if (!file.empty()) return set(visitors, passphrase_in(file));
    if (!visitors.passphrase().empty()) return {};
    return set(visitors, ask_passphrase());
}

std::expected<void, Exit> choose_passphrase(access::Visitors& visitors, const LanOptions& options) {
    const auto& file = options.passphrase_file;
    return set(visitors, file.empty() ? ask_passphrase() : passphrase_in(file));
}

std::expected<void, Exit> print_invitation(access::Visitors& visitors, const access::PagePlace& page,
                                           access::Role role) {
    const auto links = page_links(page);
    if (links.empty()) {
        fmt::print(stderr, "This computer is in no local network at this moment, so that no device can be let in.\n");
        return {};
    }
    const auto token = visitors.invite(role);
    if (!token) return std::unexpected(report(token.error()));
    const auto link = [&](const std::string& at) { return at + "/#/pair?token=" + *token; };
    if (const auto code = access::PairingCode::of(link(links.front())))
        fmt::print(stderr, "\n{}\n", access::half_blocks(*code, may_colour(stderr)));
    fmt::print(stderr, "Point a telephone's camera at it, or open\n");
    for (const auto& at : links) fmt::print(stderr, "    {}\n", link(at));
    fmt::print(stderr, "It lets one device in{}, within {} minutes.\n",
               role == access::Role::view ? ", to look and nothing more" : "",
               std::chrono::minutes(access::invitation_lasts).count());
    return {};
}

Exit report(const access::StateError& error) {
    fmt::print(stderr, "{}\n", error.message);
    switch (error.fault) {
        case access::StateFault::unreadable:
            return Exit::permission;
        case access::StateFault::damaged:
            return Exit::config;
        case access::StateFault::unwritable:
            break;
    }
    return Exit::cannot_create;
}

}  // namespace amphora::app

#include "app/devices_command.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <memory>
#include <nlohmann/json.hpp>

#include "app/lan.hpp"
#include "app/live_place.hpp"
#include "io/text/calendar.hpp"

namespace amphora::app {
namespace {

using access::Role;

struct DevicesOptions {
    std::string action = "list";
    std::string which;
    std::string system;
    bool view_only = false;
    bool json = false;
    LanOptions lan;
};

std::string_view rights(Role role) { return role == Role::full ? "may change things" : "may look"; }

std::string at(access::Moment when) {
    return text::date_and_time(Instant::from_unix(static_cast<double>(when.time_since_epoch().count())));
}

Exit list(access::Visitors& visitors, bool json) {
    if (const auto state = visitors.file().read(); !state) return report(state.error());
    const auto devices = visitors.devices();
    if (json) {
        nlohmann::ordered_json all = nlohmann::ordered_json::array();
        for (const auto& d : devices)
            all.push_back({{"id", d.id},
                           {"name", d.name},
                           {"role", d.role == Role::full ? "full" : "view"},
                           {"since", d.since.time_since_epoch().count()},
                           {"seen", d.seen.time_since_epoch().count()}});
        fmt::print("{}\n", all.dump(2));
        return Exit::ok;
    }
    if (devices.empty()) fmt::print("no device has signed in\n");
    for (const auto& d : devices)
        fmt::print("{}  {}, {}; signed in {}, last seen {}\n", d.id, d.name, rights(d.role), at(d.since), at(d.seen));
    return Exit::ok;
}

Exit remove(access::Visitors& visitors, const std::string& which) {
    std::vector<access::Device> found;
    for (const auto& d : visitors.devices())
        if (d.id == which || d.name == which) found.push_back(d);
    if (found.size() != 1) {
        fmt::print(stderr, "amphora devices: {} \"{}\"; name one by its id, as `amphora devices` lists it\n",
                   found.empty() ? "there is no device" : "there are several devices", which);
        return Exit::usage;
    }
    if (const auto gone = visitors.remove(found.front().id); !gone) return report(gone.error());
    fmt::print("{} is signed out\n", found.front().name);
    return Exit::ok;
}

Exit give_key(access::Visitors& visitors, const std::string& name, Role role) {
    if (const auto fault = access::name_fault(name); !fault.empty()) {
        fmt::print(stderr, "amphora devices: {}\n", fault);
        return Exit::usage;
    }
    const auto admission = visitors.admit(name, role);
    if (!admission) return report(admission.error());
    fmt::print("{}\n", admission->secret);
    fmt::print(stderr,
               "This key {}. It is shown this once; keep it where only the script can read it, which sends it as\n"
               "    Authorization: Bearer KEY\n",
               rights(role));
    return Exit::ok;
}

Exit passphrase(access::Visitors& visitors, const LanOptions& options) {
    if (const auto done = choose_passphrase(visitors, options); !done) return done.error();
    fmt::print("the passphrase is set; every device has to sign in with it\n");
    return Exit::ok;
}

std::expected<std::filesystem::path, Exit> locate(const DevicesOptions& options) {
    if (options.system.empty()) return service_access;
    const auto place = locate_record({options.system, {}});
    if (!place) return std::unexpected(place.error());
    return access_beside(place->file);
}

Exit run(const DevicesOptions& options) {
    const auto file = locate(options);
    if (!file) return file.error();
    access::Visitors visitors{access::StateFile(*file)};
    const Role role = options.view_only ? Role::view : Role::full;
    const bool needs_name = options.action == "remove" || options.action == "key";
    if (needs_name && options.which.empty()) {
        fmt::print(stderr, "amphora devices: {} which? Name it after \"{}\"\n", options.action, options.action);
        return Exit::usage;
    }
    if (options.action == "remove") return remove(visitors, options.which);
    if (options.action == "key") return give_key(visitors, options.which, role);
    if (options.action == "passphrase") return passphrase(visitors, options.lan);
    if (options.action == "list") return list(visitors, options.json);
    if (visitors.passphrase().empty()) {
        fmt::print(stderr, "amphora devices: the page was never served to other devices; `amphora serve --lan` does\n");
        return Exit::config;
    }
    const auto done = print_invitation(visitors, visitors.page(), role);
    return done ? Exit::ok : done.error();
}

}  // namespace

Command devices_command(CLI::App& program) {
    auto& command = add_command(
        program, "devices", "Show which devices may see the page, let one in, sign one out",
        {"amphora devices --system van.toml",
         "amphora devices invite --system van.toml --view-only   # a code for one more, to look",
         "amphora devices remove \"old phone\" --system van.toml",
         "amphora devices key \"shore script\" --view-only        # for a program; of the page that is a service",
         "amphora devices passphrase --system van.toml           # another one; all have to sign in again"});
    auto options = std::make_shared<DevicesOptions>();
    command.add_option("ACTION", options->action, "list, invite, remove, key or passphrase")
        ->type_name("")
        ->capture_default_str()
        ->check(CLI::IsMember({"list", "invite", "remove", "key", "passphrase"}).description(""));
    command.add_option("WHICH", options->which, "the device: its id or name; for a key, what it is to be called")
        ->type_name("");
    command
        .add_option("--system", options->system, "description of the system; if not given, the page that is a service")
        ->type_name("SYSTEM.toml");
    command.add_flag("--view-only", options->view_only, "with invite and key: may look, and change nothing");
    command
        .add_option("--passphrase-file", options->lan.passphrase_file,
                    "with passphrase: it is the first line of this file; it is not asked for")
        ->type_name("FILE");
    command.add_flag("--json", options->json, "the list for programs");
    return {&command, [options] { return run(*options); }};
}

}  // namespace amphora::app

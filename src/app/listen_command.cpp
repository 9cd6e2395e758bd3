#include "app/listen_command.hpp"

#include <fmt/ranges.h>
#include <CLI/CLI.hpp>

#include <algorithm>
#include <expected>
#include <memory>
#include <string_view>
#include <vector>

#include "app/description.hpp"
#include "app/listening.hpp"
#include "app/live_place.hpp"
#include "app/overhearing.hpp"
#include "io/text/nearest.hpp"

namespace amphora::app {
namespace {

struct ListenOptions {
    std::vector<std::string> names;
    std::string system;
    double for_s = 0.0;
    bool json = false;
};

// The places of the named sources in the description; or what to say instead.
std::expected<std::vector<std::size_t>, std::string> places_of(const std::vector<std::string>& names,
                                                               const std::vector<described::Source>& sources) {
    std::vector<std::size_t> places;
    for (const auto& name : names) {
        const auto found = std::ranges::find(sources, name, &described::Source::name);
        if (found != sources.end()) {
            places.push_back(static_cast<std::size_t>(found - sources.begin()));
            continue;
        }
        std::vector<std::string_view> known;
        for (const auto& source : sources) known.emplace_back(source.name);
        const auto near = text::nearest(name, known);
        return std::unexpected(fmt::format("there is no source \"{}\"; {}", name,
                                           near            ? fmt::format("did you mean \"{}\"?", *near)
                                           : known.empty() ? "the description has no [[source]]"
                                                           : fmt::format("there are: {}", fmt::join(known, ", "))));
    }
    return places;
}

Exit listen(const ListenOptions& options) {
    const auto described = open_description(options.system);
    if (!described) return described.error();
    const auto places = places_of(options.names, described->system.live.sources);
    if (!places) {
        fmt::print(stderr, "{}: {}\n", options.system, places.error());
        return Exit::config;
    }
    const auto length = options.for_s > 0.0 ? std::optional(Second(options.for_s)) : std::nullopt;
    const auto record = locate_record({options.system, {}});
    if (!record) return record.error();
    for (const auto& socket : {socket_beside(record->file), std::filesystem::path(service_socket)})
        if (auto recorder = Overhearing::at(socket, {record->system.name, options.names, length, options.json}))
            return recorder->run();
    return Listening(described->system, {*places, length, options.json}).run();
}

}  // namespace

Command listen_command(CLI::App& program) {
    auto& command = add_command(program, "listen", "Show what a source says, reading by reading, as it comes",
                                {"amphora listen shunt --system van.toml",
                                 "amphora listen shunt roof --system van.toml --for 60   # two of them, for a minute",
                                 "amphora listen shunt --system van.toml --json          # a line of JSON each"});
    auto options = std::make_shared<ListenOptions>();
    command.add_option("SOURCE", options->names, "names of sources in the description")->required()->type_name("");
    command.add_option("--system", options->system, "the description of the system")->required()->type_name("FILE");
    command.add_option("--for", options->for_s, "stop after so many seconds")
        ->check(CLI::Range(0.1, 1e7).description(""))
        ->type_name("SECONDS");
    command.add_flag("--json", options->json, "each reading as a line of JSON");
    return {&command, [options] { return listen(*options); }};
}

}  // namespace amphora::app

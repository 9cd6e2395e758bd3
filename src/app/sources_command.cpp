#include "app/sources_command.hpp"

#include <fmt/core.h>
#include <CLI/CLI.hpp>

#include <algorithm>
#include <memory>
#include <nlohmann/json.hpp>
#include <optional>

#include "app/description.hpp"
#include "io/live/scan.hpp"
#include "io/live/source_word.hpp"
#include "io/source/channel_unit.hpp"

namespace amphora::app {
namespace {

using Json = nlohmann::ordered_json;

struct SourcesOptions {
    std::string description;
    std::string root = "/";
    bool json = false;
};

// One line of either table, as columns.
struct FoundRow {
    std::string name;
    std::string kind;
    std::string at;
    std::string what;
    std::string remark;
};

std::string subject_of(const described::Channel& channel) {
    switch (channel.of) {
        case Subject::battery:
            return "";
        case Subject::charger:
            return fmt::format(" of charger \"{}\"", channel.whose);
        case Subject::appliance:
            return fmt::format(" of appliance \"{}\"", channel.whose);
        case Subject::probe:
            return fmt::format(" at \"{}\"", channel.whose);
    }
    return "";
}

std::string measured_by(const Live& live, std::size_t source) {
    std::string text;
    for (const auto& channel : live.channels)
        if (channel.source == source)
            text +=
                fmt::format("{}{}{}", text.empty() ? "" : ", ", source::word(channel.measures), subject_of(channel));
    return text;
}

std::string offered(const live::FoundSource& found) {
    std::string text;
    for (const auto& offer : found.offers)
        text += fmt::format("{}{} {}", text.empty() ? "" : ", ", offer.field,
                            offer.value ? fmt::format("{:.6g} {}", *offer.value, offer.unit) : "says nothing");
    return text;
}

// The described source that uses what was found; empty if none does.
std::string user_of(const live::FoundSource& found, const Live& live) {
    for (const auto& source : live.sources) {
        const bool serial = found.kind == described::SourceKind::serial;
        const bool same_kind = serial || source.kind == found.kind;
        if (same_kind && (source.at == found.at || source.at.starts_with(found.at + "@"))) return source.name;
    }
    return "";
}

void print_table(std::vector<FoundRow> rows) {
    std::array<std::size_t, 4> widths{};
    for (const auto& row : rows)
        for (std::size_t i = 0; const auto* cell : {&row.name, &row.kind, &row.at, &row.what})
            widths.at(i) = std::max(widths.at(i), cell->size()), ++i;
    for (const auto& row : rows) {
        auto line = fmt::format("  {:{}}  {:{}}  {:{}}  {:{}}  {}", row.name, widths[0], row.kind, widths[1], row.at,
                                widths[2], row.what, widths[3], row.remark);
        line.erase(line.find_last_not_of(' ') + 1);
        fmt::print("{}\n", line);
    }
}

void print_described(const Live& live, const std::vector<live::FoundSource>& found, const SourcesOptions& options) {
    fmt::print("Described in {}\n", options.description);
    std::vector<FoundRow> rows;
    for (std::size_t i = 0; i < live.sources.size(); ++i) {
        const auto& source = live.sources[i];
        const auto gone = live::missing(source, found, options.root);
        rows.push_back({source.name, std::string(live::word(source.kind)), source.at, measured_by(live, i),
                        gone.empty() ? fmt::format("every {:g} s", source.interval.value()) : "not there: " + gone});
    }
    if (rows.empty()) fmt::print("  no [[source]]\n");
    print_table(std::move(rows));
    if (!live.sources.empty())
        fmt::print("See what one says: amphora listen {} --system {}\n", live.sources.front().name,
                   options.description);
    fmt::print("\n");
}

void print_found(const Live& live, const std::vector<live::FoundSource>& found) {
    fmt::print("Found on this computer\n");
    std::vector<FoundRow> rows;
    for (const auto& f : found) {
        const auto user = user_of(f, live);
        rows.push_back({user.empty() ? "-" : user, std::string(live::word(f.kind)), f.at, offered(f), f.remark});
    }
    if (rows.empty()) fmt::print("  no device of hwmon or IIO, no serial device, no CAN interface\n");
    print_table(std::move(rows));
    fmt::print(
        "TCP, Modbus TCP and MQTT cannot be seen from here. How to connect each kind: "
        "docs/howto/connect-a-meter.md\n");
}

Json as_json(const live::FoundSource& found, const Live& live) {
    Json offers = Json::array();
    for (const auto& offer : found.offers)
        offers.push_back({{"field", offer.field},
                          {"unit", offer.unit},
                          {"value", offer.value ? Json(*offer.value) : Json(nullptr)}});
    const auto user = user_of(found, live);
    return {{"kind", live::word(found.kind)},
            {"at", found.at},
            {"used_by", user.empty() ? Json(nullptr) : Json(user)},
            {"offers", offers},
            {"remark", found.remark}};
}

void print_json(const Live& live, const std::vector<live::FoundSource>& found, const SourcesOptions& options) {
    Json described = Json::array();
    for (std::size_t i = 0; i < live.sources.size(); ++i) {
        const auto& source = live.sources[i];
        Json channels = Json::array();
        for (const auto& channel : live.channels)
            if (channel.source == i)
                channels.push_back({{"measures", source::word(channel.measures)}, {"whose", channel.whose}});
        described.push_back({{"name", source.name},
                             {"kind", live::word(source.kind)},
                             {"at", source.at},
                             {"every_s", source.interval.value()},
                             {"missing", live::missing(source, found, options.root)},
                             {"channels", channels}});
    }
    Json seen = Json::array();
    for (const auto& f : found) seen.push_back(as_json(f, live));
    fmt::print("{}\n",
               Json({{"described", described}, {"found", seen}}).dump(2, ' ', false, Json::error_handler_t::replace));
}

Exit list_sources(const SourcesOptions& options) {
    Live live;
    if (!options.description.empty()) {
        auto described = open_description(options.description);
        if (!described) return described.error();
        live = std::move(described->system.live);
    }
    const auto found = live::scan(options.root);
    if (options.json) {
        print_json(live, found, options);
        return Exit::ok;
    }
    if (!options.description.empty()) print_described(live, found, options);
    print_found(live, found);
    return Exit::ok;
}

}  // namespace

Command sources_command(CLI::App& program) {
    auto& command =
        add_command(program, "sources", "What readings could come from: devices that are here and those described",
                    {"amphora sources                # what is plugged in",
                     "amphora sources van.toml       # and which of it is used", "amphora sources --json"});
    auto options = std::make_shared<SourcesOptions>();
    add_description_option(command, options->description);
    command.add_option("--root", options->root, "look in the folders sys and dev of another folder [/]")
        ->type_name("FOLDER");
    command.add_flag("--json", options->json, "as JSON");
    return {&command, [options] { return list_sources(*options); }};
}

}  // namespace amphora::app

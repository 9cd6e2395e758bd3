#include "app/record_place.hpp"

#include <fmt/core.h>
#include <CLI/CLI.hpp>

#include <cstdlib>
#include <memory>

#include "app/description.hpp"
#include "app/terminal.hpp"

namespace amphora::app {
namespace {

/// The computer's zone by its name: from TZ, or from where /etc/localtime points.
std::string zone_of_computer() {
    if (const char* name = std::getenv("TZ"); name != nullptr && record::LocalDays::in_zone(name)) return name;
    std::error_code none;
    const std::string path = std::filesystem::read_symlink("/etc/localtime", none).string();
    const std::string_view folder = "zoneinfo/";
    const auto at = path.find(folder);
    return at == std::string::npos ? "UTC" : path.substr(at + folder.size());
}

std::optional<record::LocalDays> days_of(const System& system) {
    return record::LocalDays::in_zone(system.zone.empty() ? zone_of_computer() : system.zone);
}

}  // namespace

void add_record_options(CLI::App& command, RecordOptions& options, Bare bare) {
    const std::string about = "description of the system; its record lies beside it";
    if (bare == Bare::description)
        add_description_option(command, options.system, about);
    else
        command.add_option("--system", options.system, about)->type_name("SYSTEM.toml");
    command.add_option("--record", options.record, "the record, if it lies elsewhere")->type_name("FILE");
}

std::expected<RecordPlace, Exit> locate_record(const RecordOptions& options) {
    if (options.system.empty() && options.record.empty()) {
        fmt::print(stderr,
                   "which record? Name the description, as in --system van.toml, or the record with --record\n");
        return std::unexpected(Exit::usage);
    }
    RecordPlace place;
    if (!options.system.empty()) {
        const auto described = open_description(options.system);
        if (!described) return std::unexpected(described.error());
        place.system = described->system;
        const std::filesystem::path description(options.system);
        place.file = place.system.record.empty() ? std::filesystem::path(description).replace_extension(".amphora")
                                                 : description.parent_path() / place.system.record;
    }
    if (!options.record.empty()) place.file = options.record;
    const auto days = days_of(place.system);
    if (!days) {
        fmt::print(stderr, "{}: there is no time zone \"{}\"; name one as Europe/Lisbon\n", options.system,
                   place.system.zone);
        return std::unexpected(Exit::config);
    }
    place.days = *days;
    return place;
}

Exit report(const record::RecordError& error) {
    fmt::print(stderr, "{}\n", error.message);
    switch (error.fault) {
        case record::Fault::not_found:
            return Exit::no_input;
        case record::Fault::not_a_record:
        case record::Fault::newer:
        case record::Fault::damaged:
            return Exit::data;
        case record::Fault::busy:
            return Exit::temporary;
        case record::Fault::refused:
            return Exit::permission;
        case record::Fault::full:
        case record::Fault::input_output:
            return Exit::io;
    }
    return Exit::software;
}

bool spares(const std::string& output, std::initializer_list<std::filesystem::path> read) {
    std::error_code none;
    for (const auto& file : read) {
        if (!std::filesystem::equivalent(output, file, none)) continue;
        fmt::print(stderr, "{}: is read for this and would be written over; name another file\n", output);
        return false;
    }
    return true;
}

std::expected<record::Span, Exit> span_of(const record::Reader& reader, const std::string& from,
                                          const std::string& to) {
    record::Span span = reader.extent().value_or(record::Span{});
    const auto read = [&](const std::string& text, std::int64_t& edge, int days_later) {
        if (text.empty()) return true;
        const auto at = reader.days().parse(text);
        if (!at) {
            fmt::print(stderr, "\"{}\" is no day and no time; write 2024-10-27 or 2024-10-27T18:00\n", text);
            return false;
        }
        edge = text.size() == 10 ? reader.days().day_start(*at, days_later) : *at;
        return true;
    };
    if (!read(from, span.from_us, 0) || !read(to, span.to_us, 1)) return std::unexpected(Exit::usage);
    if (!from.empty() && !to.empty() && span.from_us >= span.to_us) {
        fmt::print(stderr, "--from {} is not before --to {}: there is nothing between them\n", from, to);
        return std::unexpected(Exit::usage);
    }
    return span;
}

void say_if_empty(const record::Reader& reader, record::Span span) {
    const auto extent = reader.extent();
    if (!extent) return fmt::print(stderr, "the record holds no reading yet\n");
    if (span.from_us < extent->to_us && extent->from_us < span.to_us) return;
    const auto& days = reader.days();
    fmt::print(stderr, "there is no reading in that time: the record has readings from {} to {}\n",
               days.time(extent->from_us), days.time(extent->to_us - 1));
}

std::function<void(double)> progress_bar(const std::string& what) {
    if (!is_watched(stderr)) return {};
    return [what, shown = std::make_shared<int>(-1)](double share) {
        const int percent = static_cast<int>(share * 100.0);
        if (percent == *shown) return;
        *shown = percent;
        fmt::print(stderr, "\r{} {:3} %{}", what, percent, percent >= 100 ? "\n" : "");
    };
}

}  // namespace amphora::app

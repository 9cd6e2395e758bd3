#include "app/diagram_command.hpp"

#include <fmt/core.h>
#include <CLI/CLI.hpp>

#include <memory>
#include <string>

#include "app/description.hpp"
#include "app/plan_file.hpp"
#include "io/document/diagram.hpp"

namespace amphora::app {
namespace {

using document::Variant;

struct DiagramOptions {
    std::string file;
    std::string to = "diagram.svg";
    std::string variant = "meter-only";
};

Variant variant_named(const std::string& word) {
    return word == "cut-off"          ? Variant::cut_off
           : word == "separate-buses" ? Variant::separate_buses
                                      : Variant::meter_only;
}

Exit diagram(const DiagramOptions& options) {
    const auto plan = open_plan(options.file);
    if (!plan) return plan.error();
    if (plan->circuits.empty())
        fmt::print(stderr, "{}: no [[circuit]] is described yet, so there is little to draw.\n", options.file);
    const auto written = document::write_diagram(*plan, variant_named(options.variant), options.to);
    if (!written) {
        fmt::print(stderr, "{}\n", written.error());
        return Exit::cannot_create;
    }
    fmt::print("{}\n", options.to);
    return Exit::ok;
}

}  // namespace

Command diagram_command(CLI::App& program) {
    auto& command = add_command(
        program, "diagram", "Draw the wiring diagram, as SVG or PDF",
        {"amphora diagram van.toml -o van.svg", "amphora diagram van.toml -o van.pdf --variant separate-buses"});
    auto options = std::make_shared<DiagramOptions>();
    add_description_option(command, options->file)->required();
    command.add_option("-o,--output", options->to, "the file to write, .svg or .pdf")
        ->type_name("FILE")
        ->capture_default_str();
    command
        .add_option("--variant", options->variant,
                    "meter-only, cut-off (a relay cuts the loads) or separate-buses (for loads and chargers)")
        ->check(CLI::IsMember({"meter-only", "cut-off", "separate-buses"}).description(""))
        ->capture_default_str()
        ->type_name("WORD");
    return {&command, [options] { return diagram(*options); }};
}

}  // namespace amphora::app

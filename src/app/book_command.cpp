#include "app/book_command.hpp"

#include <fmt/core.h>
#include <CLI/CLI.hpp>

#include <memory>

#include "app/crew.hpp"
#include "app/description.hpp"
#include "app/plan_file.hpp"
#include "core/design/rules.hpp"
#include "io/document/book.hpp"

namespace amphora::app {
namespace {

struct BookOptions {
    std::string file;
    std::string to = "book.pdf";
    int draws = 1000;
};

Exit book(const BookOptions& options) {
    const auto described = open_description(options.file);
    if (!described) return described.error();
    const auto plan = plan_from(described->system, options.file);
    if (!plan) return plan.error();
    document::BookContent content;
    content.plan = *plan;
    content.system = described->system;
    content.findings = design::check(*plan);
    content.budget = design::budget_of(*plan);
    content.outcome = design::simulate(*plan, {.draws = options.draws}, crew(0, true));
    const auto written = document::write_book(content, options.to);
    if (!written) {
        fmt::print(stderr, "{}\n", written.error());
        return Exit::cannot_create;
    }
    fmt::print("{}\n", options.to);
    return Exit::ok;
}

}  // namespace

Command book_command(CLI::App& program) {
    auto& command = add_command(
        program, "book", "Print the book of the system: one PDF for inside the cupboard door",
        {"amphora book van.toml -o van.pdf    # diagram, cables, fuses, parts, settings, findings, cautions"});
    auto options = std::make_shared<BookOptions>();
    add_description_option(command, options->file)->required();
    command.add_option("-o,--output", options->to, "the file to write, .pdf")->type_name("FILE")->capture_default_str();
    command.add_option("--draws", options->draws, "simulated years behind the chances in it")
        ->check(CLI::Range(1, 1'000'000).description(""))
        ->capture_default_str();
    return {&command, [options] { return book(*options); }};
}

}  // namespace amphora::app

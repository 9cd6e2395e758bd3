#include "app/help.hpp"

#include <CLI/CLI.hpp>

namespace amphora::app {

ExamplesFirst::ExamplesFirst() {
    column_width(26);
    label("OPTIONS", "options");
    label("Positionals", "Arguments");
    label("SUBCOMMAND", "COMMAND");
}

std::string ExamplesFirst::make_option_opts(const CLI::Option* option) const {
    const auto& type = option->get_type_name();
    return option->get_positional() || type.empty() ? "" : " " + type;
}

std::string ExamplesFirst::make_help(const CLI::App* app, std::string name, CLI::AppFormatMode mode) const {
    if (mode == CLI::AppFormatMode::Sub) return make_expanded(app);
    std::string out = app->get_description() + "\n";
    if (!app->get_footer().empty()) out += "\nExamples:\n" + app->get_footer();
    out += "\n" + make_usage(app, std::move(name));
    out += make_positionals(app) + make_subcommands(app, mode) + make_groups(app, mode);
    while (out.ends_with("\n\n")) out.pop_back();  // of a group that is not shown
    return out;
}

}  // namespace amphora::app

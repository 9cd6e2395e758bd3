#include "app/description.hpp"

#include <fmt/core.h>
#include <CLI/CLI.hpp>

namespace amphora::app {

CLI::Option* add_description_option(CLI::App& command, std::string& file, const std::string& about) {
    return command.add_option("--system,SYSTEM.toml", file, about)->type_name("SYSTEM.toml");
}

Exit exit_for(const describe::Mistakes& mistakes) {
    return describe::is_unreadable(mistakes.front()) ? Exit::no_input : Exit::config;
}

void print_mistakes(const describe::Mistakes& mistakes, const std::string& file) {
    for (const auto& mistake : mistakes) fmt::print(stderr, "{}\n", describe::to_text(mistake, file));
}

std::expected<describe::Described, Exit> open_description(const std::string& file) {
    auto described = describe::describe_file(file);
    if (described) return std::move(*described);
    print_mistakes(described.error(), file);
    return std::unexpected(exit_for(described.error()));
}

}  // namespace amphora::app

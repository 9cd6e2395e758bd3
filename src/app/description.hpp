// Opens the description that a command was given, and explains on stderr what is wrong with it.
#pragma once

#include <expected>
#include <string>

#include "app/exit.hpp"
#include "io/describe/describe.hpp"

namespace CLI {
class App;
class Option;
}  // namespace CLI

namespace amphora::app {

/// Adds the option that takes a description: after --system, or bare, as a person types it. Only for commands that take
/// nothing else bare.
CLI::Option* add_description_option(CLI::App& command, std::string& file,
                                    const std::string& about = "the description of the system");

/// The exit code that fits mistakes: no_input if the file could not be read, config otherwise.
[[nodiscard]] Exit exit_for(const describe::Mistakes& mistakes);

/// Every mistake on a line of its own on stderr.
void print_mistakes(const describe::Mistakes& mistakes, const std::string& file);

/// The description in `file`; or, its mistakes printed on stderr, the code to exit with.
[[nodiscard]] std::expected<describe::Described, Exit> open_description(const std::string& file);

}  // namespace amphora::app

// How --help looks: what it is for, examples, and only then the usage and the options.
#pragma once

#include <CLI/CLI.hpp>
#include <string>

namespace amphora::app {

/// Prints a CLI11 app whose footer holds its examples, examples first.
class ExamplesFirst : public CLI::Formatter {
public:
    ExamplesFirst();
    std::string make_help(const CLI::App* app, std::string name, CLI::AppFormatMode mode) const override;
    std::string make_option_opts(const CLI::Option* option) const override;
};

}  // namespace amphora::app

#include "app/replay_command.hpp"

#include <fmt/core.h>
#include <CLI/CLI.hpp>

#include <memory>

#include "app/description.hpp"
#include "app/progress_bar.hpp"
#include "app/replay.hpp"
#include "app/replay_json.hpp"
#include "app/replay_summary.hpp"
#include "io/document/plot/canvas.hpp"
#include "io/text/figure.hpp"

namespace amphora::app {
namespace {

struct ReplayOptions {
    std::string system;
    ReplayRequest request;
    double every_s = 60.0;
    bool json = false;
    bool no_hindsight = false;
};

// Bad lines are told on stderr; with more than one in a hundred, the result is not to be trusted blindly.
void warn_of_bad_lines(const source::CsvReport& log, const std::string& file) {
    if (log.bad == 0) return;
    const double share = static_cast<double>(log.bad) / static_cast<double>(log.bad + log.readings);
    fmt::print(stderr, "{}: {} of {} lines cannot be read and are left out\n{}", file == "-" ? "standard input" : file,
               text::count(log.bad), text::count(log.bad + log.readings), bad_lines(log));
    if (share > 0.01)
        fmt::print(stderr, "Warning: that is {:.0f} % of the log; what follows rests on the rest.\n", share * 100.0);
}

Exit run(ReplayOptions options) {
    options.request.every = Second(options.every_s);
    options.request.hindsight = !options.no_hindsight;
    const auto described = open_description(options.system);
    if (!described) return described.error();
    const auto result = [&] {
        ProgressBar bar(stderr);
        return replay(options.request, described->system,
                      [&bar](auto bytes, auto in_all, auto readings, std::string_view message) {
                          if (message.empty())
                              bar.show(bytes, in_all, readings);
                          else
                              bar.show(message);
                      });
    }();
    if (!result) {
        fmt::print(stderr, "amphora replay: {}\n", result.error().message);
        return result.error().exit;
    }
    warn_of_bad_lines(result->log, options.request.log);
    const bool rows_on_stdout = options.request.estimates == "-";
    fmt::print(rows_on_stdout ? stderr : stdout, "{}",
               options.json ? replay_json(*result, described->system) : summary(*result, described->system));
    return Exit::ok;
}

}  // namespace

Command replay_command(CLI::App& program) {
    auto& command = add_command(
        program, "replay", "Estimate from a log: how much was left at each moment, how sure that was, and how wrong",
        {"amphora replay --system van.toml log.csv                        # a summary",
         "amphora replay --system van.toml log.csv --plot log.svg         # and a picture of it",
         "amphora replay --system van.toml log.csv --estimates out.csv    # and a row for each minute",
         "zcat log.csv.gz | amphora replay --system van.toml - --json     # from a pipe, for a machine"});
    auto options = std::make_shared<ReplayOptions>();
    command
        .add_option("LOG", options->request.log, "the log as CSV (docs/reference/log-csv.md); - for the standard input")
        ->required()
        ->type_name("");
    command.add_option("--system", options->system, "the description of the system")->required()->type_name("FILE");
    auto* estimates = command.add_option("--estimates", options->request.estimates,
                                         "write the estimates as CSV; - for the standard output");
    estimates->type_name("FILE");
    command.add_option("--every", options->every_s, "seconds between rows of the estimates [60]")
        ->check(CLI::Range(1e-3, 1e9).description(""))
        ->type_name("SECONDS");
    command.add_option("--plot", options->request.plot, "draw the log and the estimates: .svg, .png or .pdf")
        ->check([](const std::string& path) {
            return plot::page_kind(path) ? "" : "the file of --plot must end with .svg, .png or .pdf";
        })
        ->type_name("FILE");
    auto* json = command.add_flag("--json", options->json, "the summary as JSON");
    command.add_flag("--no-hindsight", options->no_hindsight,
                     "do not look back: memory then does not grow with the log");
    command.final_callback([options, estimates, json] {
        if (options->request.estimates == "-" && json->count() > 0)
            throw CLI::ExcludesError(estimates->get_name() + " -", json->get_name());
    });
    return {&command, [options] { return run(*options); }};
}

}  // namespace amphora::app

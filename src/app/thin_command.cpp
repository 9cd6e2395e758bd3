#include "app/thin_command.hpp"

#include <fmt/core.h>
#include <CLI/CLI.hpp>

#include <iostream>
#include <memory>

#include "app/record_place.hpp"
#include "io/record/thin.hpp"
#include "io/text/figure.hpp"
#include "io/text/size.hpp"

namespace amphora::app {
namespace {

struct ThinOptions {
    RecordOptions record;
    std::string before;
    int every_s = 60;
    bool yes = false;
};

void print_cost(const record::ThinningCost& cost, const ThinOptions& options) {
    fmt::print("Before {}, {} would become {}, one for every {} s; {} would become {}.\n", options.before,
               text::plain_count_of(cost.readings, "reading"), cost.readings_left, options.every_s,
               text::size_of(cost.bytes), text::size_of(cost.bytes_left));
    fmt::print(
        "What it costs, for good: every single reading of that time; each becomes part of a mean.\n"
        "  Peaks and dips shorter than {} s no longer show: highest and lowest current and voltage move inward.\n"
        "  Charge in and charge out within the same {} s cancel; what is left of both is the difference.\n"
        "  What is derived of that time later, by better methods, is derived from less.\n"
        "A record of one reading a second grows by about 25 MB a year: there is seldom a need.\n",
        options.every_s, options.every_s);
}

bool thinning_confirmed() {
    fmt::print("Thin the record? [y/N] ");
    std::fflush(stdout);
    std::string answer;
    return std::getline(std::cin, answer) && (answer == "y" || answer == "Y" || answer == "yes");
}

Exit thin(const ThinOptions& options) {
    const auto place = locate_record(options.record);
    if (!place) return place.error();
    const auto before = place->days.parse(options.before);
    if (!before) {
        fmt::print(stderr, "\"{}\" is no day and no time; write 2024-10-27 or 2024-10-27T18:00:00\n", options.before);
        return Exit::usage;
    }
    const record::Thinning thinning{*before, std::int64_t{options.every_s} * 1'000'000};
    const auto cost = record::thinning_cost(place->file, thinning);
    if (!cost) return report(cost.error());
    if (cost->readings == cost->readings_left) {
        fmt::print("There is nothing to thin before {}\n", options.before);
        return Exit::ok;
    }
    print_cost(*cost, options);
    if (!options.yes && !thinning_confirmed()) {
        fmt::print("Nothing was changed\n");
        return Exit::ok;
    }
    const auto done = record::thin(place->file, thinning, place->days);
    if (!done) return report(done.error());
    fmt::print("{}: {} became {}\n", place->file.string(), text::plain_count_of(done->readings, "reading"),
               done->readings_left);
    return Exit::ok;
}

}  // namespace

Command thin_command(CLI::App& program) {
    auto& command =
        add_command(program, "thin", "Keep fewer of the old readings; says first what that costs",
                    {"amphora thin --system van.toml --before 2020-01-01   # one mean a minute, after asking",
                     "amphora thin --system van.toml --before 2020-01-01 --every 600 --yes"});
    auto options = std::make_shared<ThinOptions>();
    add_record_options(command, options->record);
    command.add_option("--before", options->before, "only what lies wholly before this day or moment")
        ->required()
        ->type_name("DAY");
    command.add_option("--every", options->every_s, "one reading is kept for each span of so many seconds")
        ->check(CLI::Range(2, 3600).description(""))
        ->type_name("SECONDS");
    command.add_flag("--yes", options->yes, "without asking");
    return {&command, [options] { return thin(*options); }};
}

}  // namespace amphora::app

#include "app/demo_command.hpp"

#include <fmt/format.h>
#include <CLI/CLI.hpp>

#include <algorithm>
#include <array>
#include <chrono>
#include <cmath>
#include <csignal>
#include <cstdio>
#include <filesystem>
#include <memory>
#include <string>

#include "app/demo_description.hpp"
#include "app/demo_page.hpp"
#include "app/demo_record.hpp"
#include "app/demo_summary.hpp"
#include "app/demo_van.hpp"
#include "app/progress_bar.hpp"
#include "app/scratch_folder.hpp"
#include "app/twin_case.hpp"
#include "io/describe/describe.hpp"
#include "io/describe/json.hpp"
#include "io/source/moment.hpp"
#include "twin/blue_heron.hpp"

namespace amphora::app {
namespace {

constexpr std::uint64_t blue_heron_seed = 1;
constexpr Second year(365.25 * 86400);
constexpr Second month(30 * 86400);

struct DemoOptions {
    std::uint16_t port = 8765;
    bool port_chosen = false;
    double speed = 60;
    double years = 2;
    std::string until;  // empty: now
    bool once = false;
    std::string folder;  // to write files to; empty: none
};

Instant now() {
    const auto since = std::chrono::system_clock::now().time_since_epoch();
    return Instant{std::chrono::duration_cast<std::chrono::microseconds>(since).count()};
}

Instant moment_of(const std::string& text) { return source::read_moment(text.data(), text.data() + text.size()).at; }

// For CLI11: empty when the text is a moment, else what is wrong.
std::string moment_fault(const std::string& text) {
    const auto read = source::read_moment(text.data(), text.data() + text.size());
    const bool whole = read.fault == source::MomentFault::none && read.end == text.data() + text.size();
    return whole ? "" : fmt::format("\"{}\" is no moment; write it like 2026-03-07T16:30:00Z", text);
}

// What the van's owner would have: a description and the meter's log; and what no owner has, the truth.
Exit write_files(const DemoOptions& options) {
    for (const auto* name : {"SYSTEM.toml", "LOG.csv", "TRUTH.csv"})
        if (const auto file = std::filesystem::path(options.folder) / name; std::filesystem::exists(file)) {
            fmt::print(stderr, "amphora demo: {}: is there already; name a folder without it\n", file.string());
            return Exit::cannot_create;
        }
    const Instant end = options.until.empty() ? now() : moment_of(options.until);
    const auto written = write_twin_case(twin::blue_heron(blue_heron_seed, end + -(options.years * year)),
                                         options.years * year.value() / 86400, options.folder);
    if (!written) {
        fmt::print(stderr, "amphora demo: {}\n", written.error());
        return Exit::cannot_create;
    }
    fmt::print(
        "Wrote SYSTEM.toml, LOG.csv and TRUTH.csv to {0}. Try: amphora replay --system {0}/SYSTEM.toml {0}/LOG.csv\n",
        options.folder);
    return Exit::ok;
}

// The description that comes with it was checked when it was written, and a test reads it.
System demo_system() { return describe::describe_text(demo_description()).value().system; }

Exit say_once(const DemoOptions& options, Instant begin, Instant birth) {
    DemoVan van(blue_heron_seed, birth, demo_system());
    {
        ProgressBar bar(stderr);
        for (Instant until = birth; until < begin; until = std::min(until + month, begin)) {
            van.live_until(until);
            bar.show(fmt::format("Making the van's history: {:.0f} %", 100 * ((until - birth) / (begin - birth))));
        }
        van.live_until(begin);
    }
    fmt::print("{}", demo_summary(van, options.years * year));
    return Exit::ok;
}

volatile std::sig_atomic_t interrupted = 0;

/// While it lives, SIGINT and SIGTERM only ask to end, so that what was begun is tidied away.
class Interruptible {
public:
    Interruptible() : before_{std::signal(SIGINT, ask), std::signal(SIGTERM, ask)} {}
    Interruptible(const Interruptible&) = delete;
    Interruptible& operator=(const Interruptible&) = delete;
    ~Interruptible() {
        std::signal(SIGINT, before_[0]);
        std::signal(SIGTERM, before_[1]);
    }

private:
    static void ask(int signal) { interrupted = signal; }
    std::array<void (*)(int), 2> before_;
};

Exit demonstrate(const DemoOptions& options) {
    if (!options.folder.empty()) return write_files(options);
    const Instant begin = options.until.empty() ? now() : moment_of(options.until);
    const Instant birth = begin + -(options.years * year);
    if (options.once) return say_once(options, begin, birth);
    const ScratchFolder folder;
    DemoVan van(blue_heron_seed, birth, demo_system());
    const record::Origin origin{van.system(), describe::fingerprint(van.system())};
    {
        ProgressBar bar(stderr);
        const Interruptible interruptible;
        const auto made = make_history(van, begin, record_in(folder.path()), origin, [&](Instant at) {
            bar.show(fmt::format("Making the van's history: {:.0f} %", 100 * ((at - birth) / (begin - birth))));
            return interrupted == 0;
        });
        if (interrupted != 0) return Exit::temporary;
        if (!made) {
            fmt::print(stderr, "amphora demo: {}\n", made.error().message);
            return Exit::cannot_create;
        }
    }
    return serve_demo_page(van, {.port = options.port,
                                 .ports_to_try = options.port_chosen ? 1 : 20,
                                 .begin = begin,
                                 .speed = options.speed,
                                 .folder = folder.path(),
                                 .origin = origin});
}

}  // namespace

Command demo_command(CLI::App& program) {
    auto& command =
        add_command(program, "demo", "Live with an invented van: two years behind it, and its page for a browser",
                    {"amphora demo                # its page, at http://127.0.0.1:8765/",
                     "amphora demo --speed 1      # in its own time; 60 is a minute a second",
                     "amphora demo --once         # how it stands, in words, and no page",
                     "amphora demo --years 0.04 --files try   # a fortnight as files to try the other commands on"});
    auto options = std::make_shared<DemoOptions>();
    auto* port =
        command.add_option("--port", options->port, "port of the page; if not given, 8765 or the next free one")
            ->type_name("N");
    command.add_option("--speed", options->speed, "seconds that the van lives in one of ours")
        ->check(CLI::Range(0.1, 100000.0).description(""))
        ->capture_default_str()
        ->type_name("X");
    command.add_option("--years", options->years, "length of the history")
        ->check(CLI::Range(0.01, 20.0).description(""))
        ->capture_default_str()
        ->type_name("Y");
    command.add_option("--until", options->until, "end of the history, like 2026-03-07T16:30:00Z; if not given, now")
        ->check(CLI::Validator(moment_fault, ""))
        ->type_name("TIME");
    command.add_flag("--once", options->once, "say how the van stands, and end");
    command
        .add_option("--files", options->folder,
                    "write description, log and truth of that history into this folder, and end")
        ->type_name("FOLDER");
    return {&command, [options, port] {
                options->port_chosen = port->count() > 0;
                return demonstrate(*options);
            }};
}

}  // namespace amphora::app

// The accuracy campaign: many simulated vans, what the estimator said beside what was true, beside plain counting.
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <atomic>
#include <functional>
#include <thread>

#include "app/twin_case.hpp"
#include "bench/textbook_van.hpp"
#include "bench/trial.hpp"

namespace amphora::bench {
namespace {

struct Campaign {
    int vans = 100;
    std::uint64_t first_seed = 1;
    double days = 90;
    std::vector<std::string> chemistries{"lfp", "agm"};
    std::string climate = "any";
    double interval = 5;
    bool even_labels = false;
    bool textbook = false;
    bool detail = false;
    int worst = 3;
    std::optional<std::uint64_t> only_seed;
    std::string export_to;
};

const std::map<std::string, Chemistry> chemistries{
    {"lfp", Chemistry::lfp}, {"agm", Chemistry::agm}, {"gel", Chemistry::gel}, {"flooded", Chemistry::flooded}};
const std::map<std::string, twin::Climate> climates{{"any", twin::Climate::any},
                                                    {"cold", twin::Climate::cold},
                                                    {"temperate", twin::Climate::temperate},
                                                    {"hot", twin::Climate::hot}};

twin::VanSpec draw(const Campaign& c, const std::string& chemistry, std::uint64_t seed) {
    auto van = twin::draw_van({.seed = seed,
                               .chemistry = chemistries.at(chemistry),
                               .climate = climates.at(c.climate),
                               .interval = Second(c.interval)});
    if (c.even_labels) {
        const double off = twin::Random(seed).even(0.02, 0.14);
        van.bank.capacity = van.system.battery.design_capacity * (1 + (seed % 2 == 0 ? -off : off));
    }
    return van;
}

Trial live(const Campaign& c, const std::string& chemistry, std::uint64_t seed) {
    const Second interval(c.interval);
    if (c.textbook) return run_trial(TextbookVan(seed, chemistries.at(chemistry), interval), seed, interval, c.days);
    return run_trial(twin::Van(draw(c, chemistry, seed)), seed, interval, c.days);
}

/// Runs the vans on two threads, each van wholly on one; the result does not depend on which.
std::vector<Trial> run(const Campaign& c, const std::string& chemistry) {
    const int count = c.only_seed ? 1 : c.vans;
    const std::uint64_t first = c.only_seed.value_or(c.first_seed);
    std::vector<Trial> trials(static_cast<std::size_t>(count));
    std::atomic<std::size_t> next{0};
    const auto work = [&] {
        for (std::size_t k = next++; k < trials.size(); k = next++) trials[k] = live(c, chemistry, first + k);
    };
    std::jthread other(work);
    work();
    other.join();
    return trials;
}

void print_line(const char* name, const std::vector<Trial>& trials, Score Trial::* score, bool has_band) {
    const auto over = [&](double (Score::*figure)() const) {
        std::vector<double> values;
        values.reserve(trials.size());
        for (const auto& t : trials) values.push_back((t.*score.*figure)());
        return Spread(values);
    };
    const auto rmse = over(&Score::rmse);
    fmt::print("  {:10s} {:6.2f} {:7.2f} {:6.2f} {:6.2f}", name, rmse.mean(), rmse.quantile(0.5), rmse.quantile(0.9),
               rmse.quantile(1));
    const auto worst = std::max_element(trials.begin(), trials.end(),
                                        [&](auto& a, auto& b) { return (a.*score).rmse() < (b.*score).rmse(); });
    fmt::print(" {:6d} {:7.2f}", worst->seed, over(&Score::worst).quantile(1));
    if (has_band) {
        const auto band = over(&Score::within90);
        fmt::print("  {:6.3f} {:6.3f} {:6.3f} {:7.3f} {:6.2f}", over(&Score::within50).mean(), band.mean(),
                   over(&Score::within95).mean(), band.quantile(0.1), over(&Score::mean_sd).mean());
    }
    fmt::print("\n");
}

void print_learned(const char* name, const std::vector<Trial>& trials, double Trial::* error, double Trial::* z,
                   double unit) {
    double squares = 0, z_squares = 0, inside = 0;
    for (const auto& t : trials) {
        squares += t.*error * (t.*error);
        z_squares += t.*z * (t.*z);
        inside += std::abs(t.*z) <= band90;
    }
    const auto n = static_cast<double>(trials.size());
    fmt::print("  {} rmse {:.3f}, rms z {:.2f}, inside 90 % band {:.3f}\n", name, unit * std::sqrt(squares / n),
               std::sqrt(z_squares / n), inside / n);
}

void print_van(const Trial& t) {
    fmt::print(
        "  seed {:5d}  forward {:5.2f} in90 {:5.3f} sd {:4.2f} max {:5.2f} | hindsight {:5.2f} in90 {:5.3f} sd {:4.2f} "
        "| "
        "plain {:5.2f} | capacity {:+5.1f} % z {:+5.1f} | offset {:+6.3f} z {:+5.1f} | label {:+5.1f} % offset "
        "{:+6.3f} "
        "| lowest {:4.2f} longest without full {:4.1f} d, in truth {:4.1f} d, without a reading {:4.1f} d\n",
        t.seed, t.forward.rmse(), t.forward.within90(), t.forward.mean_sd(), t.forward.worst(), t.hindsight.rmse(),
        t.hindsight.within90(), t.hindsight.mean_sd(), t.plain.rmse(), 100 * t.capacity_error, t.capacity_z,
        t.offset_error, t.offset_z, 100 * t.true_capacity_error, t.true_offset, t.lowest, t.longest_without_full,
        t.longest_not_full, t.longest_break);
}

void print_scores(const std::vector<Trial>& trials) {
    fmt::print("             rmse: mean  median   p90  worst   seed     max  within: 50     90     95  p10(90)   sd\n");
    print_line("forward", trials, &Trial::forward, true);
    print_line("hindsight", trials, &Trial::hindsight, true);
    print_line("plain", trials, &Trial::plain, false);
}

void report(const Campaign& c, const std::string& chemistry, std::vector<Trial> trials) {
    if (c.detail)
        for (const auto& t : trials) print_van(t);
    fmt::print(
        "\n{}: {} vans from seed {}, {:g} days at {:g} s, climate {}; errors of state of charge in points after 24 h\n",
        chemistry, trials.size(), trials.front().seed, c.days, c.interval, c.climate);
    print_scores(trials);
    print_learned("capacity (%)", trials, &Trial::capacity_error, &Trial::capacity_z, 100);
    print_learned("offset (A)", trials, &Trial::offset_error, &Trial::offset_z, 1);
    std::vector<Trial> often_full;
    std::copy_if(trials.begin(), trials.end(), std::back_inserter(often_full), std::mem_fn(&Trial::full_in_ten_days));
    fmt::print("  {} of these were full at least every 10 days, in truth, with no break in the log beyond 6 h\n",
               often_full.size());
    if (!often_full.empty()) print_scores(often_full);
    std::sort(trials.begin(), trials.end(), [](auto& a, auto& b) { return a.forward.rmse() > b.forward.rmse(); });
    if (!c.detail)
        for (std::size_t k = 0; k < std::min(trials.size(), static_cast<std::size_t>(c.worst)); ++k)
            print_van(trials[k]);
}

int main_of(int argc, char** argv) {
    Campaign c;
    CLI::App app(
        "Runs the estimator on simulated vans with known truth and reports its errors and the honesty of its bands.");
    app.add_option("--vans", c.vans, "vans per chemistry")->check(CLI::PositiveNumber)->capture_default_str();
    app.add_option("--first-seed", c.first_seed, "seed of the first van")->capture_default_str();
    app.add_option("--days", c.days, "days per van")->check(CLI::Range(2.0, 4000.0))->capture_default_str();
    app.add_option("--chemistry", c.chemistries, "lfp, agm, gel, flooded; may be repeated")
        ->check(CLI::IsMember(chemistries));
    app.add_option("--climate", c.climate, "any, cold, temperate, hot")->check(CLI::IsMember(climates));
    app.add_option("--interval", c.interval, "seconds between readings")
        ->check(CLI::Range(0.5, 600.0))
        ->capture_default_str();
    app.add_flag("--even-labels", c.even_labels,
                 "labels 2 to 14 % off, as often too low as too high; as drawn three of four are too high");
    app.add_flag("--textbook", c.textbook, "plainer vans of a second simulator, LFP and AGM only")
        ->excludes("--even-labels")
        ->excludes("--climate");
    app.add_flag("--detail", c.detail, "a line per van");
    app.add_option("--worst", c.worst, "show this many of the worst vans")->capture_default_str();
    app.add_option("--only-seed", c.only_seed, "this one van only");
    app.add_option("--export", c.export_to,
                   "write LOG.csv, TRUTH.csv and SYSTEM.toml of the van --only-seed into this folder, and stop");
    CLI11_PARSE(app, argc, argv);
    if (c.textbook && (!c.export_to.empty() || std::ranges::any_of(c.chemistries, [](const std::string& word) {
            return word != "lfp" && word != "agm";
        }))) {
        fmt::print(stderr, "--textbook has lfp and agm only, and exports nothing\n");
        return 64;
    }

    if (!c.export_to.empty()) {
        const auto written = app::write_twin_case(draw(c, c.chemistries.front(), c.only_seed.value_or(c.first_seed)),
                                                  c.days, c.export_to);
        if (!written) fmt::print(stderr, "{}\n", written.error());
        return written ? 0 : 73;
    }
    for (const auto& chemistry : c.chemistries) report(c, chemistry, run(c, chemistry));
    return 0;
}

}  // namespace
}  // namespace amphora::bench

int main(int argc, char** argv) { return amphora::bench::main_of(argc, argv); }

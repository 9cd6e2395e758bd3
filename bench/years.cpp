// usage: years DESCRIPTION [TABLES]
// Times 10,000 simulated years of a description on all cores and says what came out, as JSON. With TABLES it also
// writes what the simulation reads (sun, load, air, battery), so that bench/years.py can walk the same years.
#include <fmt/core.h>

#include <algorithm>
#include <chrono>
#include <ctime>
#include <fstream>
#include <nlohmann/json.hpp>
#include <vector>

#include "app/crew.hpp"
#include "app/plan_file.hpp"
#include "core/design/draws.hpp"
#include "core/design/simulate.hpp"
#include "core/sun/clearness.hpp"

namespace amphora {
namespace {

using Json = nlohmann::ordered_json;

Json bank_json(const design::BankTable& b) {
    return {{"capacity", b.capacity},
            {"well", b.well},
            {"keep", b.keep},
            {"pull", b.pull},
            {"floor", b.floor},
            {"volt0", b.volt0},
            {"from", b.from},
            {"width", b.width},
            {"slope", b.slope},
            {"resistance", b.resistance},
            {"colder", b.colder},
            {"fade_in_cold", b.fade_in_cold},
            {"volt_full", b.volt_full},
            {"most_charge", b.most_charge},
            {"most_discharge", b.most_discharge},
            {"charge_from", b.charge_from},
            {"loss", b.loss},
            {"loss_floor", b.loss_floor},
            {"loss_onset", b.loss_onset},
            {"self", b.self}};
}

Json tables_json(const design::YearTables& t) {
    Json solar = Json::array();
    for (const auto& s : t.solar)
        solar.push_back({{"a", s.a}, {"b", s.b}, {"p0", s.p0}, {"p1", s.p1}, {"p2", s.p2}, {"most", s.most}});
    std::vector<float> normal;
    for (std::uint64_t i = 0; i < (1U << design::NormalTable::bits); ++i)
        normal.push_back(design::normal_table().at(i));
    const design::Chances chances;
    Json file_days = Json::array();
    for (const auto& month : t.file_days) {
        Json days = Json::array();
        for (const auto& d : month) days.push_back({d.clearness, d.diffuse, d.warmer});
        file_days.push_back(std::move(days));
    }
    return {{"bank", bank_json(t.bank)},
            {"solar", solar},
            {"load", t.load},
            {"steady", t.steady},
            {"air", t.air},
            {"coldest", t.coldest},
            {"sunset_81", t.sunset_81},
            {"clearness", t.clearness},
            {"file_days", file_days},
            {"run_days", chances.run_days},
            {"month", t.month},
            {"first_day", t.first_day},
            {"normal", normal},
            {"sky_memory", sun::usual_day_to_day},
            {"use_sd", chances.use_sd},
            {"warmth_sd", chances.warmth_sd},
            {"warmth_memory", chances.warmth_memory}};
}

int run(const std::string& description, const std::string& tables) {
    const auto plan = app::open_plan(description);
    if (!plan) return static_cast<int>(plan.error());
    if (!tables.empty()) std::ofstream(tables) << tables_json(design::year_tables(*plan));
    constexpr int years = 10'000;
    constexpr int repetitions = 5;
    const design::Runner crew = app::crew(0, false);
    std::vector<double> seconds;
    std::vector<double> processor;
    design::Outcome outcome;
    for (int i = 0; i < repetitions; ++i) {
        const std::clock_t busy_from = std::clock();  // of all threads
        const auto start = std::chrono::steady_clock::now();
        outcome = design::simulate(*plan, {.draws = years}, crew);
        const double busy = static_cast<double>(std::clock() - busy_from) / CLOCKS_PER_SEC;
        processor.push_back(busy);
        seconds.push_back(std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count());
    }
    std::ranges::sort(seconds);
    std::ranges::sort(processor);
    Json dry = Json::array();
    for (const auto& m : outcome.months) dry.push_back(m.runs_dry);
    fmt::print("{}\n", Json{{"years", outcome.years_simulated},
                            {"seconds", seconds[repetitions / 2]},
                            {"processor_seconds", processor[repetitions / 2]},
                            {"any_dry", outcome.any_dry},
                            {"runs_dry", dry}}
                           .dump());
    return 0;
}

}  // namespace
}  // namespace amphora

int main(int argc, char** argv) {
    if (argc < 2) {
        fmt::print(stderr, "usage: years DESCRIPTION [TABLES]\n");
        return 64;
    }
    return amphora::run(argv[1], argc > 2 ? argv[2] : "");
}

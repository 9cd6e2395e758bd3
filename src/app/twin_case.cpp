#include "app/twin_case.hpp"

#include <fmt/format.h>

#include <fstream>
#include <iterator>

#include "io/describe/chemistry_defaults.hpp"

namespace amphora::app {
namespace {

std::string description(const System& s) {
    const auto& b = s.battery;
    return fmt::format(
        "format = 1\n\n[system]\nname = \"{}\"\nnominal_voltage_v = {}\n\n"
        "[battery]\nchemistry = \"{}\"\ndesign_capacity_ah = {}\nrated_over_h = {}\ncells_in_series = {}\nreserve = "
        "{}\n\n"
        "[battery.full]\nvoltage_v = {:.3f}\ncurrent_below_a = {:.2f}\nfor_s = {}\n",
        s.name, s.nominal_voltage.value(), describe::defaults_of(b.chemistry).word, b.design_capacity.value(),
        b.rated_over.value(), b.cells_in_series, b.reserve.value(), b.full.voltage.value(),
        b.full.current_below.value(), b.full.held_for.value());
}

template <class Q>
void append(std::string& line, Q value, int places) {
    line += ',';
    if (value.known()) fmt::format_to(std::back_inserter(line), "{:.{}f}", value.value(), places);
}

}  // namespace

std::expected<void, std::string> write_twin_case(const twin::VanSpec& spec, double days,
                                                 const std::filesystem::path& folder) {
    std::error_code failed;
    std::filesystem::create_directories(folder, failed);
    std::ofstream log(folder / "LOG.csv"), truth(folder / "TRUTH.csv"), system(folder / "SYSTEM.toml");
    system << description(spec.system);
    log << "time_utc,current_a,voltage_v,temperature_c\n";
    truth << "time_utc,soc\n";

    twin::Van van(spec);
    const auto steps = static_cast<long>(days * 86400 / spec.interval.value());
    const auto every = std::max(1L, static_cast<long>(300 / spec.interval.value()));
    std::string line;
    for (long k = 1; k <= steps; ++k) {
        for (const auto& r : van.step()) {
            line = fmt::format("{:.3f}", r.at.unix_seconds());
            append(line, r.current, 3);
            append(line, r.voltage, 3);
            append(line, r.temperature, 1);
            log << line << '\n';
        }
        const auto& t = van.truth();
        if (k % every == 0) truth << fmt::format("{:.3f},{:.6f}\n", t.at.unix_seconds(), t.state_of_charge.value());
    }
    log.flush(), truth.flush(), system.flush();
    if (!log || !truth || !system)
        return std::unexpected(fmt::format(
            "Could not write the simulated log into {}: is there space, and may you write there?", folder.string()));
    return {};
}

}  // namespace amphora::app

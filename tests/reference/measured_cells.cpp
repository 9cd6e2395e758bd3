#include "reference/measured_cells.hpp"

#include <algorithm>
#include <cmath>
#include <iterator>
#include <numeric>

namespace amphora::measured {
namespace {

constexpr double some_day = 1.7e9;  // where a set gives only seconds since its start

}  // namespace

std::optional<Table> lead_acid_day(const std::string& day) {
    return Table::read("lead-acid-12v/discharge-2017-03-" + day + ".csv");
}

std::vector<Reading> lead_acid_readings(const Table& table) {
    const auto &time = table.column("time"), &voltage = table.column("voltage"), &current = table.column("current"),
               &temperature = table.column("temperature");
    std::vector<Reading> readings;
    Celsius latest = Celsius::missing();
    for (std::size_t k = 0; k < table.rows(); ++k) {
        if (std::isfinite(temperature[k])) latest = Celsius(temperature[k]);
        if (std::isfinite(current[k]))
            readings.push_back({Instant::from_unix(time[k]), Ampere(-current[k]), Volt(voltage[k]), latest});
    }
    return readings;
}

std::vector<Reading> discharge_in_order(std::vector<Reading> readings) {
    std::ranges::stable_sort(readings, {}, &Reading::at);
    std::erase_if(readings, [](const Reading& r) { return r.current >= Ampere(-0.25); });
    return readings;
}

std::optional<Table> lfp_flat_zone() { return Table::read("lfp-1.2ah/flat_zone_10C.csv"); }
std::optional<Table> lfp_branches() { return Table::read("lfp-1.2ah/ocv_soc_branches.csv"); }

std::vector<Reading> lfp_readings(const Table& table, Ampere offset, Fraction gain) {
    const auto &time = table.column("time_s"), &current = table.column("current_A"),
               &voltage = table.column("voltage_V");
    std::vector<Reading> readings;
    readings.reserve(table.rows());
    for (std::size_t k = 0; k < table.rows(); ++k)
        readings.push_back({Instant::from_unix(some_day + time[k]), Ampere(-current[k]) * (1 + gain.value()) + offset,
                            Volt(voltage[k]), Celsius(10)});
    return readings;
}

std::optional<Table> liion_file(const std::string& name) { return Table::read("liion-2.6ah/" + name + ".csv"); }

CountedReadings liion_readings(const Table& table, std::optional<int> run) {
    const auto &t = table.column("t"), &i = table.column("I"), &v = table.column("V"), &c = table.column("T"),
               &q = table.column("Q");
    CountedReadings result;
    for (std::size_t k = 0; k < table.rows(); ++k) {
        if (run && static_cast<int>(table.column("run")[k]) != *run) continue;
        result.readings.push_back({Instant::from_unix(some_day + t[k]), Ampere(-i[k]), Volt(v[k]), Celsius(c[k])});
        result.counter.emplace_back(q[k] / seconds_per_hour);
    }
    return result;
}

MeasuredOcv thinned(const std::vector<double>& state_of_charge, const std::vector<double>& volt, double step) {
    std::vector<std::size_t> order(volt.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::ranges::stable_sort(order, {}, [&](std::size_t k) { return state_of_charge[k]; });
    MeasuredOcv curve;
    for (const std::size_t k : order) {
        const bool last = k == order.back();
        if (last && state_of_charge[k] == curve.state_of_charge.back().value()) break;
        if (!curve.voltage.empty() && !last && state_of_charge[k] < curve.state_of_charge.back().value() + step)
            continue;
        curve.state_of_charge.emplace_back(state_of_charge[k]);
        curve.voltage.emplace_back(volt[k]);
    }
    return curve;
}

}  // namespace amphora::measured

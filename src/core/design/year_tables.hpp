// Everything of a plan that a simulated year needs and that does not depend on chance, worked out once: sun geometry
// and load by hour of the year, the battery as a handful of coefficients.
#pragma once

#include <array>
#include <vector>

#include "core/design/plan.hpp"

namespace amphora::design {

constexpr int hours_per_year = 8760;
constexpr int days_per_year = 365;

/// One solar charger over the year: irradiance on its panels is k (a + f b), power p0 + p1 T + p2 g times that, W.
struct SolarTable {
    std::vector<float> a;  // by hour of the year
    std::vector<float> b;
    float p0 = 0.0F;
    float p1 = 0.0F;
    float p2 = 0.0F;
    float most = 0.0F;
};

/// The bank for an hourly step. Two wells (Manwell and McGowan, Solar Energy 50, 1993, 399) for lead-acid, one for the
/// rest; open-circuit voltage in straight pieces; one resistance for the hour; losses that rise towards full.
struct BankTable {
    static constexpr int pieces = 8;
    float capacity = 0.0F;             // Ah, charge that goes in until full
    float well = 1.0F;                 // share of it in the well that gives current
    float keep = 0.0F;                 // e^-k over the step
    float pull = 1.0F;                 // what an ampere over the step takes out of that well, Ah
    float floor = 0.0F;                // Ah that stay: the reserve
    float volt0 = 0.0F;                // at z = 0
    std::array<float, pieces> from{};  // state of charge at which each piece begins
    std::array<float, pieces> width{};
    std::array<float, pieces> slope{};  // V per unit of state of charge
    float resistance = 0.0F;            // ohm at 25 C
    float colder = 0.0F;                // relative rise of it per kelvin below 25 C
    float fade_in_cold = 0.0F;          // share of capacity lost per kelvin below 25 C
    float volt_full = 0.0F;             // where the chargers hold it
    float most_charge = 0.0F;           // A
    float most_discharge = 0.0F;        // A
    float charge_from = -100.0F;        // C: no charging below
    float loss = 0.0F;
    float loss_floor = 1.0F;
    float loss_onset = 0.0F;
    float self = 0.0F;  // Ah an hour
};

/// One day of a weather file.
struct FileDay {
    float clearness = 0.0F;
    float diffuse = 1.0F;  // share of its light
    float warmer = 0.0F;   // K above the month's mean
};

struct YearTables {
    std::vector<SolarTable> solar;
    std::vector<float> load;                       // W at the battery on a mean day, by hour of the year
    std::vector<float> steady;                     // W from alternator and shore
    std::vector<float> air;                        // C on a mean day, outside
    float coldest = 0.0F;                          // C: the bank never gets colder
    std::array<float, days_per_year> sunset_81{};  // 1 where the sunset angle is below 81.4 degrees, else 0
    /// Daily clearness by standard normal deviate -4..4 in even steps, per month.
    static constexpr int clearness_steps = 256;
    std::array<std::array<float, clearness_steps + 1>, 12> clearness{};
    /// The days of a weather file by month, to draw from in place of those laws; empty without one.
    std::array<std::vector<FileDay>, 12> file_days{};
    std::array<int, days_per_year> month{};
    BankTable bank;
    int first_day = 0;  // the year is walked from here, so that it begins in a good season
};

/// Works the tables out. Without a climate the sun gives nothing.
[[nodiscard]] YearTables year_tables(const Plan& plan);

/// Open-circuit voltage of the straight pieces, for checking them.
[[nodiscard]] Volt open_circuit(const BankTable& bank, Fraction state_of_charge);

}  // namespace amphora::design

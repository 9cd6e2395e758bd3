// What a day takes and what it gives, month by month, with the losses shown.
#pragma once

#include <array>
#include <string>
#include <vector>

#include "core/design/plan.hpp"

namespace amphora::design {

using ByMonth = std::array<WattHour, 12>;

/// One line of the budget: the mean day of each month, at the battery.
struct BudgetLine {
    std::string name;
    ByMonth per_day{};
    std::string measured{};  // of an appliance whose draw was measured: what was measured and what described
    [[nodiscard]] WattHour mean() const;
};

struct Budget {
    std::vector<BudgetLine> uses;    // appliances, what they take at their own plug
    std::vector<BudgetLine> losses;  // inverter idle and conversion, cables, charging
    std::vector<BudgetLine> gives;   // chargers, before charging losses
    ByMonth used{};                  // uses and losses together
    ByMonth given{};
    std::array<double, 12> days_of_battery{};  // usable charge over a day's use, without any charging
    [[nodiscard]] WattHour balance(int month) const;
    /// The balances of the mean days of these months together: below 0, less is given than taken.
    [[nodiscard]] WattHour balance(const Months& months) const;
};

/// The budget by mean days: what varies from day to day is the simulation's business. Without a climate the sun gives
/// 0.
[[nodiscard]] Budget budget_of(const Plan& plan);

/// Energy of one appliance on a mean day of a month (days a week and season counted), at its own plug.
[[nodiscard]] WattHour daily_use(const Appliance& appliance, int month);

/// All appliances, inverter idle and conversion: what leaves the battery on a mean day of a month.
[[nodiscard]] WattHour daily_use(const Plan& plan, int month);

/// What an appliance behind the inverter takes from the battery over what it gets, by the inverter's efficiency at its
/// power; 1 for one that is fed by the battery itself.
[[nodiscard]] double conversion_factor(const Plan& plan, const Appliance& appliance);

/// Energy that fits between full and reserve.
[[nodiscard]] WattHour usable(const Plan& plan);

/// Hours of a mean April day in which a charger gives a fair part of its current.
[[nodiscard]] Hour charging_window(const Plan& plan, const Charger& charger);

/// Share of the energy put in that can be taken out again, by chemistry: within the published ranges of 0.70 to 0.84
/// for lead-acid and 0.85 to 0.95 for lithium (a unit-conversion handbook, read); which kind where in them, from
/// memory.
[[nodiscard]] Fraction charge_efficiency(Chemistry chemistry);

}  // namespace amphora::design

#include "core/design/simulate.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <numeric>
#include <thread>

#include "core/battery/cell_model.hpp"
#include "core/design/draws.hpp"
#include "support/systems.hpp"

namespace amphora::design {
namespace {

/// A van that lives on its panels alone, with a load that they just carry in summer.
Plan on_the_sun() {
    Plan p = clean_van();
    p.chargers.pop_back();
    p.appliances.pop_back();
    p.inverters.clear();
    return p;
}

TEST(Simulate, SameSeedSameYearOnAnyNumberOfThreads) {
    const Plan plan = on_the_sun();
    const auto side_by_side = [](int count, const std::function<void(int)>& block) {
        std::vector<std::jthread> crew;
        for (int i = count; i-- > 0;) crew.emplace_back(block, i);
    };
    const Outcome one = simulate(plan, {.draws = 256});
    const Outcome many = simulate(plan, {.draws = 256}, side_by_side);
    const Outcome other = simulate(plan, {.draws = 256, .seed = 2});
    EXPECT_EQ(one.months[10].unserved, many.months[10].unserved);
    EXPECT_EQ(one.months[2].lowest.middle, many.months[2].lowest.middle);
    EXPECT_NE(one.months[10].unserved, other.months[10].unserved);
}

TEST(Simulate, WinterIsWorseThanSummer) {
    const Outcome o = simulate(on_the_sun(), {.draws = 256});
    EXPECT_GT(o.months[11].runs_dry, 0.9);
    EXPECT_LT(o.months[5].runs_dry, 0.2);
    EXPECT_GT(o.months[5].wasted, o.months[11].wasted);
    EXPECT_LE(o.months[8].lowest.low, o.months[8].lowest.middle);
    EXPECT_LE(o.months[8].lowest.middle, o.months[8].lowest.high);
}

TEST(Simulate, MorePanelsAndMoreBatteryNeverHurt) {
    const Plan plan = on_the_sun();
    const auto unserved = [](const Plan& p) {
        const Outcome o = simulate(p, {.draws = 256});
        return std::accumulate(o.months.begin(), o.months.end(), 0.0,
                               [](double s, const MonthOutcome& m) { return s + m.unserved.value(); });
    };
    EXPECT_LT(unserved(with_panels(plan, 2.0)), unserved(plan));
    EXPECT_GT(unserved(with_bank(plan, 0.5)), unserved(plan));
}

/// The same days in another order: a week without sun empties what a day without sun does not.
TEST(Simulate, SpellsOfAWeatherFileMatter) {
    Plan plan = on_the_sun();
    plan.appliances = {appliance("everything", 30)};
    for (int m = 0; m < 12; ++m) {
        for (int d = 0; d < 30; ++d)
            plan.climate.days.at(static_cast<std::size_t>(m)).push_back({d % 2 == 0 ? 0.1 : 0.75, 0.5, 0.0});
    }
    const Outcome turns = simulate(plan, {.draws = 256});
    for (auto& month : plan.climate.days)
        std::ranges::sort(month, {}, [](const sun::WeatherDay& d) { return d.clearness; });
    const Outcome spells = simulate(plan, {.draws = 256});
    EXPECT_LT(turns.months[5].runs_dry, 0.05);
    EXPECT_GT(spells.months[5].runs_dry, 0.2);
    EXPECT_GT(spells.months[6].unserved, turns.months[6].unserved);
}

/// A frosty spell outside does not freeze a bank that is said to stay at 2 °C.
TEST(Simulate, TheBankIsNeverColderThanSaid) {
    Plan plan = on_the_sun();
    for (sun::Month& m : plan.climate.months) m.mean = Celsius(0.0);
    plan.bank.coldest = Celsius(2.0);
    const Outcome as_it_is = simulate(plan, {.draws = 64});
    plan.bank.heated = true;
    const Outcome heated = simulate(plan, {.draws = 64});
    for (std::size_t m = 0; m < 12; ++m) EXPECT_EQ(as_it_is.months[m].wasted, heated.months[m].wasted) << m;
}

TEST(Simulate, NothingDrawnNothingMissing) {
    Plan plan = on_the_sun();
    plan.appliances.clear();
    const Outcome o = simulate(plan, {.draws = 64});
    EXPECT_EQ(o.any_dry, 0.0);
    EXPECT_GT(o.months[11].lowest.low, 0.95);
}

/// Without any charger the bank gives what lies between full and its reserve, and no more.
TEST(Simulate, ServesExactlyTheUsableCharge) {
    Plan plan = on_the_sun();
    plan.chargers.clear();
    plan.bank.coldest = Celsius(25);
    plan.appliances = {appliance("everything", 60)};
    const YearTables tables = year_tables(plan);
    Block block = start(tables);
    const BlockYear year = walk_year(tables, {.use_sd = 0.0F, .warmth_sd = 0.0F}, 1, 0, 0, block);
    EXPECT_NEAR(year.moved[0], 280.0 * 0.8, 2.0);
    const float missing = std::accumulate(year.unserved.begin(), year.unserved.end(), 0.0F,
                                          [](float s, const Lane& m) { return s + m[0]; });
    EXPECT_NEAR(missing + 224.0F * 13.1F, 60.0F * 8760.0F, 600.0F);
}

TEST(Simulate, LeadAcidGivesLessAtOnceThanSlowly) {
    Plan plan = clean_narrowboat();
    plan.chargers.clear();
    plan.bank.battery.reserve = Fraction(0.0);
    plan.bank.coldest = Celsius(25);
    plan.bank.most_discharge = Ampere(1000);
    const auto given = [&](double watts) {
        plan.appliances = {appliance("everything", watts)};
        const YearTables tables = year_tables(plan);
        Block block = start(tables);
        std::vector<float> trace;
        (void)walk_year(tables, {.use_sd = 0.0F, .warmth_sd = 0.0F}, 1, 0, 0, block, &trace);
        // Empty for now is where an hour first takes clearly less than the hours before.
        const float hourly = trace[0] - trace[1];
        std::size_t h = 1;
        while (trace[h] - trace[h + 1] > 0.9F * hourly) ++h;
        return 1.0 - static_cast<double>(trace[h]);
    };
    EXPECT_LT(given(1000), given(264) - 0.05);
}

TEST(Simulate, StraightPiecesFollowTheCurve) {
    for (Plan (*system)() : {clean_van, clean_narrowboat, clean_stall, clean_truck}) {
        const Plan plan = system();
        const YearTables tables = year_tables(plan);
        const CellModel cell = cell_model(plan.bank.battery);
        const double cells = plan.bank.battery.cells_in_series;
        for (double z = 0.1; z < 0.975; z += 0.01) {
            EXPECT_NEAR(open_circuit(tables.bank, Fraction(z)).value() / cells, cell.ocv.curve.at(Fraction(z)).value(),
                        0.012)
                << plan.name << z;
        }
    }
}

TEST(Draws, AreStandardNormal) {
    double sum = 0.0;
    double squares = 0.0;
    constexpr int n = 200000;
    for (std::uint64_t i = 0; i < n; ++i) {
        const auto z = static_cast<double>(normal_table().at(mixed(i)));
        sum += z;
        squares += z * z;
    }
    EXPECT_NEAR(sum / n, 0.0, 0.01);
    EXPECT_NEAR(squares / n, 1.0, 0.02);
}

}  // namespace
}  // namespace amphora::design

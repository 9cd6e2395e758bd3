#include "core/design/simulate.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "core/health/wear.hpp"

namespace amphora::design {
namespace {

constexpr int traced_blocks = 8;  // the first draw of each is followed hour by hour, for the wear

struct BlockResult {
    std::vector<BlockYear> years;
    std::vector<float> trace;
};

BlockResult run_block(const YearTables& tables, const SimulationOptions& o, int block) {
    BlockResult r;
    Block state = start(tables);
    const auto first_draw = static_cast<std::uint64_t>(block) * lanes;
    for (int y = 0; y < o.years; ++y) {
        r.years.push_back(
            walk_year(tables, o.chances, o.seed, first_draw, y, state, block < traced_blocks ? &r.trace : nullptr));
    }
    return r;
}

int blocks_of(const SimulationOptions& o) { return (o.draws + lanes - 1) / lanes; }

std::vector<BlockResult> run_all(const YearTables& tables, const SimulationOptions& o, const Runner& runner) {
    const int blocks = blocks_of(o);
    std::vector<BlockResult> results(static_cast<std::size_t>(blocks));
    runner(blocks, [&](int b) { results[static_cast<std::size_t>(b)] = run_block(tables, o, b); });
    return results;
}

double quantile(std::vector<float>& values, double share) {
    const auto i = static_cast<std::ptrdiff_t>(share * static_cast<double>(values.size() - 1));
    std::ranges::nth_element(values, values.begin() + i);
    return static_cast<double>(values[static_cast<std::size_t>(i)]);
}

MonthOutcome month_of(const std::vector<BlockResult>& all, std::size_t month) {
    MonthOutcome out;
    std::vector<float> lowest;
    double dry = 0.0;
    double years = 0.0;
    double hours = 0.0;
    double unserved = 0.0;
    double wasted = 0.0;
    for (const BlockResult& block : all) {
        for (const BlockYear& y : block.years) {
            for (std::size_t l = 0; l < lanes; ++l) {
                years += 1.0;
                dry += y.dry_hours[month][l] > 0.0F ? 1.0 : 0.0;
                hours += static_cast<double>(y.dry_hours[month][l]);
                unserved += static_cast<double>(y.unserved[month][l]);
                wasted += static_cast<double>(y.wasted[month][l]);
                lowest.push_back(y.lowest[month][l]);
            }
        }
    }
    out.runs_dry = dry / years;
    // Laplace's estimate, so that "never seen" is not taken for "never".
    const double p = (dry + 1.0) / (years + 2.0);
    out.runs_dry_sd = std::sqrt(p * (1.0 - p) / years);
    out.hours_without = Hour(hours / years);
    out.unserved = WattHour(unserved / years);
    out.wasted = WattHour(wasted / years);
    out.lowest = {quantile(lowest, 0.05), quantile(lowest, 0.5), quantile(lowest, 0.95)};
    return out;
}

double share_with_any_dry(const std::vector<BlockResult>& all) {
    double dry = 0.0;
    double years = 0.0;
    for (const BlockResult& block : all) {
        for (const BlockYear& y : block.years) {
            for (std::size_t l = 0; l < lanes; ++l) {
                years += 1.0;
                dry += std::ranges::any_of(y.dry_hours, [l](const Lane& m) { return m[l] > 0.0F; }) ? 1.0 : 0.0;
            }
        }
    }
    return dry / years;
}

double mean_moved(const std::vector<BlockResult>& all) {
    double moved = 0.0;
    double years = 0.0;
    for (const BlockResult& block : all) {
        for (const BlockYear& y : block.years) {
            moved = std::accumulate(y.moved.begin(), y.moved.end(), moved);
            years += lanes;
        }
    }
    return moved / years;
}

Celsius mean_temperature(const YearTables& t) {
    double sum = 0.0;
    for (const float air : t.air) sum += static_cast<double>(std::max(t.coldest, air));
    return Celsius(sum / hours_per_year);
}

struct Traced {
    double damage = 0.0;  // share of cycle life a year
    double depth = 0.0;   // mean depth, weighted by how much it moves
    double charge = 0.0;  // mean state of charge
    double years = 0.0;
};

Traced look_at_traces(const std::vector<BlockResult>& all, const CycleLife& life) {
    constexpr Fraction noise{0.01};
    Traced t;
    double weight = 0.0;
    double hours = 0.0;
    for (const BlockResult& block : all) {
        if (block.trace.empty()) continue;
        std::vector<Swing<Fraction>> swings;
        const auto keep = [&](const Swing<Fraction>& s) { swings.push_back(s); };
        Rainflow<Fraction> flow(noise);
        for (const float z : block.trace) {
            flow.push(Fraction(static_cast<double>(z)), keep);
            t.charge += static_cast<double>(z);
            hours += 1.0;
        }
        flow.report_open(keep);
        t.damage += life.damage(swings);
        for (const auto& s : swings) {
            t.depth += s.range.value() * s.range.value() * s.count;
            weight += s.range.value() * s.count;
        }
    }
    t.years = hours / hours_per_year;
    if (t.years > 0.0) t.damage /= t.years;
    if (weight > 0.0) t.depth /= weight;
    if (hours > 0.0) t.charge /= hours;
    return t;
}

/// Years to 80 % of capacity for LFP, where loss goes with the root of time and use: both parts summed.
double lfp_years(double cycles_a_year, const Traced& t, Celsius temperature) {
    constexpr double end_of_life = 0.20;
    const auto loss = [&](double years) {
        const Fraction calendar = lfp_calendar_loss(Hour(years * 8766.0), temperature, Fraction(t.charge));
        const Fraction use = lfp_cycle_loss(cycles_a_year * years, Fraction(t.depth), CRate(0.2));
        return (calendar + use).value();
    };
    double low = 0.1;
    double high = 60.0;
    for (int i = 0; i < 40; ++i) {
        const double middle = (low + high) / 2.0;
        (loss(middle) < end_of_life ? low : high) = middle;
    }
    return low;
}

Wear wear_of(const Plan& plan, const YearTables& tables, const std::vector<BlockResult>& all) {
    const Battery& b = plan.bank.battery;
    const Traced t = look_at_traces(all, typical_life(b.chemistry));
    const Celsius temperature = mean_temperature(tables);
    Wear w;
    w.full_cycles_a_year = mean_moved(all) / b.design_capacity.value();
    w.life_used_by_cycles = t.damage;
    if (b.chemistry == Chemistry::lfp) {
        const Fraction year = lfp_calendar_loss(Hour(8766.0), temperature, Fraction(t.charge));
        w.life_used_by_calendar = year.value() / 0.20;
        const double years = lfp_years(w.full_cycles_a_year, t, temperature);
        w.years_low = std::min(years, 1.0 / std::max(t.damage, 1e-3)) / 2.0;
        w.years_high = std::min(25.0, years * 2.0);
    } else {
        w.life_used_by_calendar = 1.0 / (is_lead_acid(b.chemistry) ? lead_acid_calendar_years(temperature) : 12.0);
        const double years = 1.0 / (w.life_used_by_cycles + w.life_used_by_calendar);
        w.years_low = years / 2.0;
        w.years_high = years * 1.5;
    }
    w.years_low = std::min(w.years_low, w.years_high);  // what hardly ages is not known beyond the curves' reach
    return w;
}

}  // namespace

void in_turn(int count, const std::function<void(int)>& block) {
    for (int i = 0; i < count; ++i) block(i);
}

Outcome simulate(const Plan& plan, const SimulationOptions& options, const Runner& runner) {
    const YearTables tables = year_tables(plan);
    const std::vector<BlockResult> all = run_all(tables, options, runner);
    Outcome out;
    for (std::size_t m = 0; m < 12; ++m) out.months.at(m) = month_of(all, m);
    out.years_simulated = blocks_of(options) * lanes * options.years;
    out.any_dry = share_with_any_dry(all);
    out.wear = wear_of(plan, tables, all);
    return out;
}

Plan with_panels(Plan plan, double factor) {
    for (Charger& c : plan.chargers) {
        if (c.kind != ChargerKind::solar) continue;
        c.panels.peak = c.panels.peak * factor;
        c.current = c.current * std::max(1.0, factor);
    }
    return plan;
}

Plan with_bank(Plan plan, double factor) {
    Bank& b = plan.bank;
    b.battery.design_capacity = b.battery.design_capacity * factor;
    b.most_charge = b.most_charge * factor;
    b.most_discharge = b.most_discharge * factor;
    return plan;
}

}  // namespace amphora::design

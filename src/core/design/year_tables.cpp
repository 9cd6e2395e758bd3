#include "core/design/year_tables.hpp"

#include <algorithm>
#include <cmath>

#include "core/battery/cell_model.hpp"
#include "core/battery/kinetic_battery.hpp"
#include "core/design/chemistry_limits.hpp"
#include "core/design/mean_day.hpp"
#include "core/design/solar.hpp"
#include "core/sun/clearness.hpp"

namespace amphora::design {
namespace {

/// The exponent that lead-acid of a kind usually has (common practice, no source); the wells are fitted to its curve.
PeukertExponent usual_exponent(Chemistry c) {
    switch (c) {
        case Chemistry::agm:
            return PeukertExponent(1.10);
        case Chemistry::gel:
            return PeukertExponent(1.15);
        case Chemistry::flooded:
            return PeukertExponent(1.20);
        default:
            return PeukertExponent(1.0);
    }
}

/// Two wells for lead-acid, fitted to the capacity on the label; one for the rest, whose charge is all at hand.
KineticParameters wells(const Battery& b) {
    constexpr PerHour at_once{1.0};
    if (is_lead_acid(b.chemistry)) {
        const auto fit = fit_kinetic_battery({b.rated_over, b.design_capacity}, usual_exponent(b.chemistry));
        if (fit) return fit->parameters;
    }
    return {b.design_capacity, Fraction(1.0), at_once};
}

/// Inside a lived-in van or boat the bank is rarely below this; a person who knows better gives the coldest.
constexpr double sheltered = 3.0;

BankTable bank_table(const Plan& plan) {
    const Battery& b = plan.bank.battery;
    const CellModel cell = cell_model(b);
    const ChemistryLimits& chem = limits(b.chemistry);
    const KineticParameters w = wells(b);
    const double ah = b.design_capacity.value();
    const double share = w.available_share.value();
    const double rate = w.rate.value();
    const double e = std::exp(-rate);
    BankTable t;
    t.capacity = static_cast<float>(w.capacity.value());
    t.well = static_cast<float>(share);
    t.keep = static_cast<float>(e);
    t.pull = static_cast<float>((1.0 - e) / rate + share * (rate - 1.0 + e) / rate);
    t.floor = static_cast<float>(ah * b.reserve.value());

    constexpr std::array<double, BankTable::pieces + 1> knots{0.0, 0.04, 0.1, 0.2, 0.35, 0.6, 0.85, 0.97, 1.0};
    const auto volt = [&](double z) { return cell.ocv.curve.at(Fraction(z)).value() * b.cells_in_series; };
    t.volt0 = static_cast<float>(volt(0.0));
    for (std::size_t i = 0; i < BankTable::pieces; ++i) {
        const double width = knots.at(i + 1) - knots.at(i);
        t.from.at(i) = static_cast<float>(knots.at(i));
        t.width.at(i) = static_cast<float>(width);
        t.slope.at(i) = static_cast<float>((volt(knots.at(i + 1)) - volt(knots.at(i))) / width);
    }
    const ResistanceKnowledge& r = cell.resistance;
    t.resistance = static_cast<float>((r.ohmic_ohm_ah + r.fast_ohm_ah + r.slow_ohm_ah) / ah * b.cells_in_series);
    t.colder = static_cast<float>(r.activation_k / (298.15 * 298.15));
    t.fade_in_cold = is_lead_acid(b.chemistry) ? 0.0085F : 0.0040F;

    Volt full{};
    for (const Charger& c : plan.chargers) {
        if (c.absorption.known()) full = std::max(full, c.absorption);
    }
    if (full <= Volt(0.0)) full = (chem.absorption_low + chem.absorption_high) * 0.5 * b.cells_in_series;
    t.volt_full = static_cast<float>(full.value());
    t.most_charge =
        static_cast<float>(plan.bank.most_charge.known() ? plan.bank.most_charge.value() : ah * chem.charge_rate);
    t.most_discharge = static_cast<float>(plan.bank.most_discharge.known() ? plan.bank.most_discharge.value()
                                                                           : ah * chem.discharge_rate);
    t.charge_from = plan.bank.heated ? -100.0F : static_cast<float>(chem.charge_from.value());
    t.loss = static_cast<float>(cell.loss.loss);
    t.loss_floor = static_cast<float>(cell.loss.floor);
    t.loss_onset = static_cast<float>(cell.loss.onset.value());
    t.self = static_cast<float>(cell.loss.self_discharge_per_month * ah / (30.4 * 24.0));
    return t;
}

SolarTable solar_table(const Plan& plan, const Charger& c) {
    SolarTable t;
    t.a.resize(hours_per_year);
    t.b.resize(hours_per_year);
    const PanelCurve curve = panel_curve(plan, c);
    t.p0 = static_cast<float>(curve.p0);
    t.p1 = static_cast<float>(curve.p1);
    t.p2 = static_cast<float>(curve.p2);
    t.most = static_cast<float>(curve.most);
    if (!plan.climate.given) return t;
    for (int d = 0; d < days_per_year; ++d) {
        const sun::Month& m = plan.climate.months.at(static_cast<std::size_t>(sun::month_of_day(d + 1)));
        const PanelDay day = panel_day(c.panels, d + 1, m.latitude);
        for (std::size_t h = 0; h < 24; ++h) {
            t.a.at(static_cast<std::size_t>(d) * 24 + h) = static_cast<float>(day.a.at(h));
            t.b.at(static_cast<std::size_t>(d) * 24 + h) = static_cast<float>(day.b.at(h));
        }
    }
    return t;
}

void fill_weather(const Plan& plan, YearTables& t) {
    for (int month = 0; month < 12; ++month) {
        const sun::Month& m = plan.climate.months.at(static_cast<std::size_t>(month));
        const sun::DailyClearness law(sun::clearness(m, month));
        for (int i = 0; i <= YearTables::clearness_steps; ++i) {
            const double z = -4.0 + 8.0 * i / YearTables::clearness_steps;
            t.clearness.at(static_cast<std::size_t>(month)).at(static_cast<std::size_t>(i)) =
                static_cast<float>(law.quantile(sun::normal_share_below(z)));
        }
        for (const sun::WeatherDay& d : plan.climate.days.at(static_cast<std::size_t>(month))) {
            t.file_days.at(static_cast<std::size_t>(month))
                .push_back({static_cast<float>(d.clearness), static_cast<float>(d.diffuse_share),
                            static_cast<float>(d.warmer)});
        }
    }
}

}  // namespace

YearTables year_tables(const Plan& plan) {
    YearTables t;
    t.bank = bank_table(plan);
    for (const Charger& c : plan.chargers) {
        if (c.kind == ChargerKind::solar) t.solar.push_back(solar_table(plan, c));
    }
    const PowerByHour steady = steady_of_day(plan, Volt(static_cast<double>(t.bank.volt_full) * 0.97));
    for (int d = 0; d < days_per_year; ++d) {
        const int month = sun::month_of_day(d + 1);
        const sun::Month& m = plan.climate.months.at(static_cast<std::size_t>(month));
        t.month.at(static_cast<std::size_t>(d)) = month;
        t.sunset_81.at(static_cast<std::size_t>(d)) =
            sun::day_of_year(d + 1, m.latitude).sunset_angle <= Degree(81.4) ? 1.0F : 0.0F;
        const PowerByHour load = load_of_day(plan, month);
        for (int h = 0; h < 24; ++h) {
            t.load.push_back(static_cast<float>(load.at(static_cast<std::size_t>(h))));
            t.steady.push_back(static_cast<float>(steady.at(static_cast<std::size_t>(h))));
            t.air.push_back(static_cast<float>(air_at(m, h).value()));
        }
    }
    t.coldest = static_cast<float>(plan.bank.coldest.known() ? plan.bank.coldest.value() : sheltered);
    fill_weather(plan, t);
    const bool south = plan.climate.months.at(0).latitude < Degree(0.0);
    t.first_day = south ? 0 : 181;
    return t;
}

Volt open_circuit(const BankTable& bank, Fraction state_of_charge) {
    double v = bank.volt0;
    for (std::size_t i = 0; i < BankTable::pieces; ++i) {
        v += bank.slope.at(i) *
             std::clamp(state_of_charge.value() - bank.from.at(i), 0.0, static_cast<double>(bank.width.at(i)));
    }
    return Volt(v);
}

}  // namespace amphora::design

#include <algorithm>
#include <cmath>
#include <stdexcept>

#include "twin/draw.hpp"

namespace amphora::twin {
namespace {

// The real capacity beside the label: mostly below it, 2 to 14 % away.
double capacity_error(Random& random) {
    const double size = random.even(0.02, 0.14);
    return random.chance(0.75) ? -size : size * 0.7;
}

HysteresisSpec draw_hysteresis(Random& random) {
    HysteresisSpec h;
    const int law = random.pick(10);
    h.law = law == 0   ? HysteresisLaw::none
            : law <= 4 ? HysteresisLaw::relaxing
            : law <= 6 ? HysteresisLaw::play
                       : HysteresisLaw::plays;
    h.amplitude = Volt(random.even(0.005, 0.030));
    h.rate = random.even_log(10, 100);
    h.width = random.even_log(0.01, 0.12);
    return h;
}

// One to three exponentials, or a ladder of five whose resistance grows with the root of its time: diffusion.
void draw_relaxations(Random& random, BankSpec& bank, double total, double longest) {
    if (random.chance(0.3)) {
        bank.relaxation_count = 5;
        double tau = random.even(8, 30);
        const double ratio = std::pow(longest / tau, 0.25);
        double sum = 0;
        for (std::size_t k = 0; k < 5; ++k, tau *= ratio) {
            bank.relaxations[k] = {std::sqrt(tau), Second(tau)};
            sum += std::sqrt(tau);
        }
        for (auto& r : bank.relaxations) r.resistance *= total / sum;
        return;
    }
    const std::array<std::pair<double, double>, 3> spans{{{10, 120}, {120, 1800}, {1200, longest}}};
    bank.relaxation_count = 1 + static_cast<std::size_t>(random.pick(3));
    const double weight = total / static_cast<double>(bank.relaxation_count);
    for (std::size_t k = 0; k < spans.size(); ++k) {
        if (k >= bank.relaxation_count) break;
        bank.relaxations.at(k) = {weight * random.even(0.4, 1.6),
                                  Second(random.even_log(spans[k].first, spans[k].second))};
    }
}

BankSpec draw_lfp(Random& random) {
    BankSpec b;
    b.cells = 4;
    b.rest = draw_lfp_curve(random);
    b.rest_per_kelvin = Volt(random.even(0, 0.0002));
    b.hysteresis = draw_hysteresis(random);
    b.ohmic = random.even(0.02, 0.08);
    b.activation = random.even(1500, 4500);
    b.growth_empty = random.even(0, 1.5);
    draw_relaxations(random, b, random.even(0.015, 0.08), 3 * 3600);
    if (random.chance(0.5)) {
        // The knee of charging is polarisation: left alone, the cell comes down to its cap within the hour.
        const double cap = random.even(3.37, 3.45);
        b.rest = b.rest.bent([cap](double, double v) { return std::min(v, cap); }, 0.004);
        b.acceptance_knee = random.even_log(5e-5, 3e-4);
        b.acceptance = 0.25 / (random.even_log(5, 30) * b.acceptance_knee);
        b.acceptance_lag = Second(random.even_log(20, 1500));
    }
    b.efficiency = b.efficiency_full = random.even(0.995, 1.0);
    b.self_discharge = random.even(0.005, 0.03) / 720;
    b.cut_low = Volt(4 * random.even(2.5, 2.8));
    b.reconnect = Volt(4 * random.even(3.0, 3.2));
    b.cut_high = Volt(4 * random.even(3.65, 3.75));
    b.no_charge_in_frost = random.chance(0.5);
    return b;
}

BankSpec draw_lead(Random& random, Chemistry chemistry) {
    const bool flooded = chemistry == Chemistry::flooded;
    BankSpec b;
    b.cells = 6;
    b.rest = draw_lead_curve(random);
    b.rest_per_kelvin = Volt(random.even(-0.0002, 0.0003));
    b.ohmic = random.even(0.06, 0.15);
    b.activation = random.even(1000, 2500);
    b.growth_empty = random.even(0.5, 2.5);
    draw_relaxations(random, b, random.even(0.04, 0.18), 2 * 3600);
    b.efficiency = flooded ? random.even(0.95, 0.99) : random.even(0.98, 1.0);
    b.efficiency_full = flooded ? random.even(0.4, 0.7) : random.even(0.6, 0.97);
    // Some take the same loss all the way; most lose little at first and much near full.
    if (random.chance(0.25)) b.efficiency = b.efficiency_full = random.even(flooded ? 0.85 : 0.92, 0.98);
    b.efficiency_knee = flooded ? random.even(0.70, 0.85) : random.even(0.75, 0.92);
    b.self_discharge = (flooded ? random.even(0.03, 0.10) : random.even(0.01, 0.04)) / 720;
    // Held at 0.25 V per cell above rest, it takes about `eager` of what is missing per hour (the ampere-hour law of
    // charging).
    const double eager = random.even_log(0.4, 1.5);
    b.acceptance_knee = random.even_log(0.001, 0.01);
    b.acceptance_lag = Second(random.even_log(20, 900));
    b.acceptance = 0.25 / (eager * b.acceptance_knee);
    b.gassing = flooded ? random.even_log(0.004, 0.02) : random.even_log(0.0003, 0.002);
    b.gassing_decade = Volt(random.even(0.12, 0.25));
    b.surface_share = random.even(0.1, 0.5);
    b.surface_rise = Second(random.even_log(600, 3600));
    b.surface_decay = Second(random.even_log(1.5 * 3600, 10 * 3600));
    if (random.chance(0.5)) {
        b.available_share = random.even(0.3, 0.7);
        b.well_rate = random.even_log(0.4, 3) / (b.available_share * (1 - b.available_share));
    }
    b.cut_low = Volt(random.even(10.2, 11.3));
    b.reconnect = Volt(random.even(12.0, 12.6));
    return b;
}

}  // namespace

BankSpec draw_bank(Random& random, Chemistry chemistry, AmpHour label) {
    if (chemistry != Chemistry::lfp && !is_lead_acid(chemistry))
        throw std::invalid_argument("the twin has cells for lfp, agm, gel and flooded only");
    BankSpec bank = chemistry == Chemistry::lfp ? draw_lfp(random) : draw_lead(random, chemistry);
    bank.chemistry = chemistry;
    bank.capacity = label * (1 + capacity_error(random));
    return bank;
}

std::vector<ChargerSpec> draw_chargers(Random& random, const BankSpec& bank, Watt panels, Ampere shore, Ampere engine) {
    const bool lfp = bank.chemistry == Chemistry::lfp;
    const double absorption = lfp                                ? random.even(14.0, 14.6)
                              : bank.chemistry == Chemistry::gel ? random.even(14.1, 14.4)
                                                                 : random.even(14.4, 14.8);
    const Volt per_kelvin(!lfp && random.chance(0.6) ? -6 * random.even(0.003, 0.005) : 0);
    std::vector<ChargerSpec> chargers;
    const auto add = [&](Source source, Ampere limit) {
        ChargerSpec c;
        c.source = source;
        c.limit = limit;
        c.absorption = Volt(absorption + random.even(-0.1, 0.1));
        c.floating = Volt(lfp ? random.even(13.3, 13.7) : random.even(13.4, 13.8));
        c.restart = c.floating - Volt(random.even(0.2, 0.7));
        c.absorb_for = Second(lfp ? random.even_log(900, 3 * 3600) : random.even_log(2 * 3600, 8 * 3600));
        if (random.chance(0.4)) c.tail = bank.capacity / Hour(1) * random.even(0.005, 0.03);
        if (lfp && random.chance(0.15)) c.floating = Volt::missing();
        c.per_kelvin = per_kelvin;
        c.cable = Ohm(random.even_log(0.0005, 0.006));
        chargers.push_back(c);
        return chargers.size() - 1;
    };
    const auto sun = add(Source::sun, Ampere(std::max(10.0, panels.value() / 12.5)));
    chargers[sun].panels = panels;
    chargers[sun].yield = random.even(0.65, 0.88);
    if (shore.value() > 0) add(Source::shore, shore);
    if (engine.value() > 0) add(Source::engine, engine);
    return chargers;
}

}  // namespace amphora::twin

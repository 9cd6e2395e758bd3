#include "twin/draw.hpp"

#include <algorithm>
#include <cmath>

namespace amphora::twin {
namespace {

// What the owner wrote down as "full": below what the chargers reach, as a manual or a forum would have it.
FullEvidence draw_full_evidence(Random& random, Chemistry chemistry, AmpHour label, Volt absorption) {
    const Ampere whole = label / Hour(1);
    if (chemistry == Chemistry::lfp) {
        const double written = std::min(random.even(13.7, 14.1), absorption.value() - 0.1);
        return {Volt(std::round(written * 20) / 20), whole * random.even(0.02, 0.05),
                Second(60.0 * (1 + random.pick(6)))};
    }
    const double written = std::min(random.even(14.0, 14.4), absorption.value() - 0.15);
    return {Volt(std::round(written * 20) / 20), whole * random.even(0.01, 0.03), Second(600.0 * (1 + random.pick(6)))};
}

System describe(const DrawOptions& options, AmpHour label) {
    System s;
    s.name = "van " + std::to_string(options.seed);
    s.nominal_voltage = Volt(12);
    s.battery.chemistry = options.chemistry;
    s.battery.design_capacity = label;
    s.battery.rated_over = Hour(options.chemistry == Chemistry::lfp ? 5 : 20);
    s.battery.cells_in_series = options.chemistry == Chemistry::lfp ? 4 : 6;
    s.battery.reserve = Fraction(options.chemistry == Chemistry::lfp ? 0.2 : 0.5);
    s.meters = {Meter{}};
    return s;
}

}  // namespace

VanSpec draw_van(const DrawOptions& options) {
    Random random(options.seed * 7919 + static_cast<std::uint64_t>(options.chemistry));
    VanSpec van;
    van.seed = options.seed;
    van.interval = options.interval;
    const double labels[] = {100, 100, 120, 150, 200, 200, 230, 280, 300, 400};
    const AmpHour label(labels[random.pick(10)]);
    van.system = describe(options, label);
    van.start = Instant::from_unix(1704067200.0 + 86400.0 * random.pick(600) + 60.0 * random.pick(1440));

    Random battery = random.branch(), place = random.branch(), life = random.branch(), meter = random.branch();
    van.bank = draw_bank(battery, options.chemistry, label);
    van.weather = draw_weather(place, options.climate);
    van.battery_lag = Hour(place.even(2, 12));
    van.warm_room = Celsius(place.even(2, 19));
    van.shunt = draw_shunt(meter);

    // How much is used a day, and how much of that the sun brings, decide how often the battery is full.
    const bool lead = is_lead_acid(options.chemistry);
    const WattHour per_day =
        van.bank.capacity * Volt(12.8) * (lead ? life.even_log(0.05, 0.3) : life.even_log(0.06, 0.55));
    const double supply = life.even_log(lead ? 0.7 : 0.35, lead ? 4.0 : 3.0);
    van.household = draw_household(life, per_day);
    van.itinerary = draw_itinerary(life);
    const long day = static_cast<long>(van.start.unix_seconds() / 86400 + 45) % 365;
    const double sun = std::max(1.2, clear_sun_hours(van.weather.latitude, day)) * van.weather.clearness * 0.75;
    const Watt panels(std::clamp(per_day.value() * supply / sun, 50.0, 1200.0));
    const Ampere shore = label / Hour(1) * life.even(0.05, 0.3);
    const Ampere engine(life.chance(0.75) ? life.even(10, 60) : 0);
    van.chargers = draw_chargers(life, van.bank, panels, shore, engine);
    if (van.itinerary.drives_per_week < 0.5 || van.chargers.size() < 3) van.itinerary.rescue = 0.9;

    Volt absorption(99);
    for (const auto& c : van.chargers) absorption = std::min(absorption, c.absorption);
    van.system.battery.full = draw_full_evidence(life, options.chemistry, label, absorption);
    van.shed_below = Fraction(life.chance(0.25) ? 0 : life.even(0.03, lead ? 0.4 : 0.2));
    van.start_charge = Fraction(lead ? life.even(0.5, 1.0) : life.even(0.15, 1.0));
    return van;
}

}  // namespace amphora::twin

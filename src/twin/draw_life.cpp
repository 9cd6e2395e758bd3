#include <algorithm>
#include <cmath>

#include "twin/draw.hpp"

namespace amphora::twin {

WeatherSpec draw_weather(Random& random, Climate climate) {
    if (climate == Climate::any) {
        const double x = random.even();
        climate = x < 0.25 ? Climate::cold : x < 0.75 ? Climate::temperate : Climate::hot;
    }
    WeatherSpec w;
    w.longitude = random.even(-120, 140);
    w.season = random.even(4, 12);
    w.day = random.even(2, 9);
    w.spell = random.even(1.5, 5);
    w.clearness = random.even(0.3, 0.75);
    w.patchiness = random.even(0.1, 0.6);
    switch (climate) {
        case Climate::cold:
            w.latitude = random.even(48, 64);
            w.mean = Celsius(random.even(-2, 7));
            break;
        case Climate::hot:
            w.latitude = random.even(15, 38) * (random.chance(0.3) ? -1 : 1);
            w.mean = Celsius(random.even(19, 29));
            break;
        default:
            w.latitude = random.even(36, 54);
            w.mean = Celsius(random.even(8, 16));
            break;
    }
    return w;
}

HouseholdSpec draw_household(Random& random, WattHour per_day) {
    HouseholdSpec h;
    const auto add = [&](double chance, ApplianceSpec a) {
        if (!random.chance(chance)) return;
        a.power = a.power * random.even(0.75, 1.3);
        a.runs_per_day *= random.even(0.6, 1.5);
        a.run = a.run * random.even(0.6, 1.5);
        h.appliances.push_back(a);
    };
    using enum Habit;
    const double standby = random.even_log(0.5, 14);
    add(1.0, {.name = "standby",
              .habit = always,
              .power = Watt(standby),
              .spread = 0.02,
              .ripple = 0.02,
              .runs_when_away = true});
    add(0.85, {.name = "fridge",
               .habit = cycling,
               .power = Watt(50),
               .run = Second(random.even(240, 1200)),
               .duty = random.even(0.15, 0.5),
               .runs_when_away = random.chance(0.4)});
    add(0.25, {.name = "freezer",
               .habit = cycling,
               .power = Watt(60),
               .run = Second(600),
               .duty = 0.4,
               .runs_when_away = true});
    add(1.0, {.name = "lights",
              .power = Watt(18),
              .spread = 0.4,
              .runs_per_day = 2.5,
              .run = Second(5400),
              .hours = {0.3, 0.6, 0.3, 3}});
    add(0.9,
        {.name = "water pump", .power = Watt(55), .runs_per_day = 14, .run = Second(25), .hours = {0.1, 1.5, 1, 1.5}});
    add(0.8, {.name = "laptop",
              .power = Watt(55),
              .spread = 0.3,
              .ripple = 0.1,
              .runs_per_day = 1.6,
              .run = Second(7200),
              .hours = {0.2, 1, 1.3, 1.2}});
    add(0.9, {.name = "phones",
              .power = Watt(14),
              .spread = 0.3,
              .runs_per_day = 2,
              .run = Second(5400),
              .hours = {0.7, 0.7, 0.7, 2}});
    add(0.4, {.name = "television",
              .power = Watt(40),
              .runs_per_day = 0.8,
              .run = Second(7200),
              .hours = {0.1, 0.2, 0.5, 3}});
    add(0.5, {.name = "router", .habit = always, .power = Watt(7), .runs_when_away = random.chance(0.5)});
    add(0.7,
        {.name = "fan", .habit = in_heat, .power = Watt(30), .spread = 0.4, .runs_per_day = 3, .run = Second(7200)});
    add(0.6, {.name = "heater",
              .habit = in_frost,
              .power = Watt(28),
              .spread = 0.3,
              .ripple = 0.05,
              .runs_per_day = 3,
              .run = Second(6000),
              .hours = {0.8, 1.3, 0.5, 1.4}});
    if (random.chance(0.6)) {  // an inverter and what hangs on it
        add(0.6, {.name = "inverter idle", .habit = always, .power = Watt(10), .runs_when_away = false});
        add(0.8, {.name = "kettle",
                  .power = Watt(1300),
                  .runs_per_day = 2,
                  .run = Second(200),
                  .length_spread = 0.3,
                  .hours = {0.1, 2, 1, 1}});
        add(0.4, {.name = "hob",
                  .power = Watt(1100),
                  .spread = 0.3,
                  .ripple = 0.1,
                  .runs_per_day = 1,
                  .run = Second(700),
                  .hours = {0, 0.6, 1, 2}});
        add(0.4, {.name = "coffee machine",
                  .power = Watt(1000),
                  .runs_per_day = 1.5,
                  .run = Second(120),
                  .hours = {0.1, 3, 1, 0.3}});
        add(0.2,
            {.name = "microwave", .power = Watt(1250), .runs_per_day = 1, .run = Second(240), .hours = {0, 1, 1, 2}});
    }
    h.weekend = random.even(0.7, 1.6);
    h.wander = random.even(0.1, 0.4);

    // Bring the whole to the wanted day: how often and how long things run changes, what they draw only a little.
    const double factor = std::clamp(per_day / daily_need(h), 0.2, 6.0);
    const double power = std::pow(factor, 0.3);
    for (auto& a : h.appliances) {
        a.power = a.power * power;
        if (a.habit == always)
            a.power = a.power * (factor / power);
        else if (a.habit == cycling)
            a.duty = std::clamp(a.duty * factor / power, 0.05, 0.9);
        else
            a.runs_per_day *= factor / power;
    }
    return h;
}

ItinerarySpec draw_itinerary(Random& random) {
    ItinerarySpec i;
    i.drives_per_week = random.even(0, 6);
    i.drive = Hour(random.even(0.4, 3));
    i.shore_stays_per_month = random.chance(0.4) ? 0.1 : random.even(0.3, 6);
    i.shore_days = random.even(0.7, 4);
    i.away_per_month = random.chance(0.4) ? 0 : random.even(0.2, 2);
    i.away_days = random.even(2, 12);
    i.shade = random.even(0, 0.6);
    i.rescue = random.even(0.2, 0.9);
    i.shore_when_away = random.chance(0.3);
    i.patience = random.even_log(5, 60);
    return i;
}

ShuntSpec draw_shunt(Random& random) {
    ShuntSpec s;
    s.offset = Ampere(random.even(-0.15, 0.15));
    if (random.chance(0.35)) s.offset_walk = Ampere(random.even_log(0.0005, 0.008));
    if (random.chance(0.3)) s.offset_per_kelvin = Ampere(random.even(-0.002, 0.002));
    s.gain = random.even(-0.01, 0.01);
    s.noise = Ampere(random.even_log(0.003, 0.15));
    const double steps[] = {0.001, 0.01, 0.01, 0.01, 0.05};
    s.step = Ampere(steps[random.pick(5)]);
    s.voltage_gain = random.chance(0.3) ? 0 : random.even(-0.003, 0.003);
    s.voltage_offset = Volt(random.chance(0.3) ? 0 : random.even(-0.03, 0.03));
    s.voltage_noise = Volt(random.even_log(0.0007, 0.01));
    const double volts[] = {0.001, 0.002, 0.01, 0.01, 0.02};
    s.voltage_step = Volt(volts[random.pick(5)]);
    s.measures_temperature = random.chance(0.75);
    s.temperature_error = random.even(-2, 2);
    s.temperature_step = random.chance(0.5) ? 0.1 : 1.0;
    if (random.chance(0.5)) s.gaps_per_month = random.even(0.5, 8);
    s.gap = Second(random.even_log(300, 4 * 3600));
    if (random.chance(0.2)) s.repeats = random.even_log(1e-5, 1e-3);
    if (random.chance(0.2)) s.missing = random.even_log(1e-5, 1e-3);
    return s;
}

}  // namespace amphora::twin

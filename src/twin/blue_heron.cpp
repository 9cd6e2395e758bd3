#include "twin/blue_heron.hpp"

namespace amphora::twin {
namespace {

System description() {
    System s;
    s.name = "Blue Heron";
    s.nominal_voltage = Volt(12);
    s.battery.chemistry = Chemistry::lfp;
    s.battery.design_capacity = AmpHour(200);
    s.battery.rated_over = Hour(5);
    s.battery.cells_in_series = 4;
    s.battery.reserve = Fraction(0.2);
    s.battery.full = {Volt(13.9), Ampere(8), Second(180)};
    s.meters = {{.name = "shunt", .rated_current = Ampere(300), .rated_drop = Volt(0.075)}};
    return s;
}

BankSpec cells() {
    BankSpec b;
    b.chemistry = Chemistry::lfp;
    b.capacity = AmpHour(189);
    b.rest = plain_lfp_curve();
    b.rest_per_kelvin = Volt(0.0001);
    b.hysteresis = {HysteresisLaw::plays, Volt(0.016), 40, 0.04};
    b.ohmic = 0.035;
    b.activation = 2600;
    b.growth_empty = 0.8;
    b.relaxations = {{{0.012, Second(40)}, {0.018, Second(600)}, {0.014, Second(5400)}}};
    b.relaxation_count = 3;
    b.efficiency = b.efficiency_full = 0.998;
    b.self_discharge = 0.015 / 720;
    b.cut_low = Volt(10.6);
    b.reconnect = Volt(12.4);
    b.cut_high = Volt(14.8);
    b.no_charge_in_frost = true;
    return b;
}

std::vector<ChargerSpec> chargers() {
    ChargerSpec sun, engine, shore;
    sun.source = Source::sun;
    sun.limit = Ampere(30);
    sun.panels = Watt(300);
    sun.yield = 0.8;
    sun.absorption = Volt(14.2);
    sun.floating = Volt(13.5);
    sun.restart = Volt(13.2);
    sun.absorb_for = Second(3600);
    sun.cable = Ohm(0.003);

    engine.source = Source::engine;
    engine.limit = Ampere(30);
    engine.absorption = Volt(14.3);
    engine.floating = Volt(13.5);
    engine.absorb_for = Second(7200);
    engine.cable = Ohm(0.002);

    shore.source = Source::shore;
    shore.limit = Ampere(20);
    shore.absorption = Volt(14.2);
    shore.floating = Volt(13.5);
    shore.absorb_for = Second(3600);
    shore.tail = Ampere(4);
    return {sun, engine, shore};
}

HouseholdSpec household() {
    using enum Habit;
    HouseholdSpec h;
    h.appliances = {
        {.name = "standby",
         .habit = always,
         .power = Watt(2.2),
         .spread = 0.01,
         .ripple = 0.01,
         .runs_when_away = true},
        {.name = "fridge", .habit = cycling, .power = Watt(46), .spread = 0.03, .run = Second(540), .duty = 0.26},
        {.name = "router", .habit = always, .power = Watt(5), .spread = 0.02, .ripple = 0.04},
        {.name = "ceiling lights",
         .power = Watt(16),
         .spread = 0.02,
         .runs_per_day = 2.4,
         .run = Second(6000),
         .hours = {0.2, 0.7, 0.2, 3}},
        {.name = "reading lamp",
         .power = Watt(4),
         .spread = 0.02,
         .runs_per_day = 1.5,
         .run = Second(2700),
         .hours = {1, 0.2, 0.1, 3}},
        {.name = "water pump",
         .power = Watt(62),
         .spread = 0.05,
         .ripple = 0.08,
         .runs_per_day = 13,
         .run = Second(22),
         .hours = {0.1, 1.6, 1, 1.5}},
        {.name = "laptop",
         .power = Watt(58),
         .spread = 0.2,
         .ripple = 0.12,
         .runs_per_day = 1.1,
         .run = Second(7800),
         .hours = {0.1, 1.4, 1.4, 1}},
        {.name = "phones",
         .power = Watt(14),
         .spread = 0.2,
         .runs_per_day = 1.8,
         .run = Second(5400),
         .hours = {0.8, 0.7, 0.7, 2}},
        {.name = "roof fan",
         .habit = in_heat,
         .power = Watt(22),
         .spread = 0.25,
         .ripple = 0.03,
         .runs_per_day = 2.5,
         .run = Second(7200),
         .hours = {0.8, 0.4, 1.4, 1.4}},
        {.name = "diesel heater",
         .habit = in_frost,
         .power = Watt(26),
         .spread = 0.15,
         .ripple = 0.04,
         .runs_per_day = 2.6,
         .run = Second(6600),
         .hours = {0.6, 1.4, 0.5, 1.6}},
        {.name = "inverter",
         .power = Watt(9),
         .spread = 0.02,
         .runs_per_day = 3,
         .run = Second(3600),
         .hours = {0.1, 1.5, 1, 1.5}},
        {.name = "kettle",
         .power = Watt(1150),
         .spread = 0.02,
         .runs_per_day = 1.6,
         .run = Second(190),
         .length_spread = 0.3,
         .hours = {0.1, 2, 1, 1}},
        {.name = "induction hob",
         .power = Watt(900),
         .spread = 0.25,
         .ripple = 0.06,
         .runs_per_day = 0.45,
         .run = Second(660),
         .hours = {0, 0.4, 0.9, 2.2}},
    };
    h.weekend = 1.2;
    h.wander = 0.2;
    return h;
}

}  // namespace

VanSpec blue_heron(std::uint64_t seed, Instant start, Second interval) {
    VanSpec van;
    van.seed = seed;
    van.start = start;
    van.interval = interval;
    van.system = description();
    van.bank = cells();
    van.start_charge = Fraction(0.58);
    van.shed_below = Fraction(0.08);
    van.chargers = chargers();
    van.household = household();
    van.itinerary = {.drives_per_week = 4.2,
                     .drive = Hour(1.6),
                     .shore_stays_per_month = 0.9,
                     .shore_days = 1.4,
                     .away_per_month = 0.6,
                     .away_days = 5,
                     .shade = 0.25,
                     .rescue = 0.8};
    van.weather = {.latitude = 47.1,
                   .longitude = 8.4,
                   .mean = Celsius(10),
                   .season = 9.5,
                   .day = 5,
                   .spell = 3,
                   .clearness = 0.56,
                   .patchiness = 0.35};
    van.battery_lag = Hour(7);
    van.warm_room = Celsius(7);
    van.shunt = {.offset = Ampere(0.045),
                 .offset_walk = Ampere(0.001),
                 .offset_per_kelvin = Ampere(0.0006),
                 .gain = -0.004,
                 .noise = Ampere(0.03),
                 .step = Ampere(0.01),
                 .voltage_gain = 0.0005,
                 .voltage_offset = Volt(0.006),
                 .voltage_noise = Volt(0.002),
                 .voltage_step = Volt(0.005),
                 .temperature_error = 0.4,
                 .gaps_per_month = 0.4,
                 .gap = Second(1500)};
    return van;
}

}  // namespace amphora::twin

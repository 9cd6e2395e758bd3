// Five invented systems without a mistake, to start from in tests.
#pragma once

#include <string>

#include "support/plans.hpp"

namespace amphora::design {

/// A camper van: 12 V, 200 Ah of LFP, 2 kW inverter, 300 W on the roof, charger from the alternator.
inline Plan clean_van() {
    Plan p;
    p.name = "van";
    p.bank.battery.chemistry = Chemistry::lfp;
    p.bank.battery.design_capacity = AmpHour(280);
    p.bank.battery.cells_in_series = 4;
    p.bank.battery.reserve = Fraction(0.2);
    p.bank.management_system = true;
    p.bank.most_discharge = Ampere(200);
    p.bank.most_surge = Ampere(400);
    p.bank.most_charge = Ampere(140);
    p.bank.coldest = Celsius(2);
    p.bank.short_circuit = Ampere(6000);
    p.climate = sun::climate_of(*sun::known_place("lyon"));

    Circuit inverter = circuit("inverter", "battery", metric(70, 1.0), fuse(FuseKind::class_t, 250), Purpose::inverter);
    Circuit panel = circuit("panel", "battery", metric(16, 1.2), fuse(FuseKind::class_t, 80), Purpose::panel);
    p.circuits = {inverter, panel};
    p.circuits.push_back(circuit("fridge", "panel", metric(4, 3.0), fuse(FuseKind::blade, 10)));
    p.circuits.back().critical = true;
    p.circuits.push_back(circuit("lights", "panel", metric(1.5, 5.0), fuse(FuseKind::blade, 5)));
    p.circuits.push_back(circuit("pump", "panel", metric(2.5, 4.0), fuse(FuseKind::blade, 10)));
    p.circuits.push_back(circuit("fan", "panel", metric(1.5, 4.0), fuse(FuseKind::blade, 5)));
    p.circuits.push_back(circuit("heater", "panel", metric(4, 3.0), fuse(FuseKind::blade, 15)));
    p.circuits.push_back(circuit("sockets", "panel", metric(2.5, 3.0), fuse(FuseKind::blade, 15)));
    p.circuits.push_back(circuit("solar", "battery", metric(10, 1.5), fuse(FuseKind::class_t, 40), Purpose::charger));
    p.circuits.push_back(circuit("driving", "battery", metric(16, 1.5), fuse(FuseKind::class_t, 50), Purpose::charger));

    p.appliances = {appliance("refrigerator", 45, "fridge"), appliance("lights", 20, "lights", 17, 23),
                    appliance("pump", 48, "pump", 7, 9),     appliance("fan", 24, "fan", 12, 20),
                    appliance("heater", 30, "heater", 6, 9), appliance("telephone chargers", 30, "sockets", 18, 22)};
    p.appliances[0].duty = Fraction(0.35);
    p.appliances[4].surge = Watt(130);
    p.appliances.push_back(behind_inverter(appliance("hob", 1800, "", 18, 18.5)));

    Inverter i;
    i.circuit = "inverter";
    i.power = Watt(2000);
    i.surge = Watt(3500);
    i.idle = Watt(12);
    i.idle_hours = Hour(4);
    i.cut_off = Volt(10.5);
    i.highest_input = Volt(15.5);
    p.inverters = {i};

    Charger solar;
    solar.name = "solar";
    solar.circuit = "solar";
    solar.kind = ChargerKind::solar;
    solar.current = Ampere(30);
    solar.absorption = Volt(14.2);
    solar.float_voltage = Volt(13.5);
    solar.absorption_time = Hour(0.5);
    solar.highest_input = Volt(100);
    solar.panels.peak = Watt(300);
    solar.panels.series = 2;
    solar.panels.open_circuit = Volt(22.5);
    solar.panels.at_peak = Volt(18.5);
    Charger driving;
    driving.name = "driving";
    driving.circuit = "driving";
    driving.kind = ChargerKind::alternator;
    driving.current = Ampere(40);
    driving.absorption = Volt(14.2);
    driving.float_voltage = Volt(13.5);
    driving.alternator_rating = Ampere(150);
    driving.hours_a_day = Hour(1);
    p.chargers = {solar, driving};

    p.shunts = {shunt("shunt", 300, 75)};
    p.shunts[0].offset = Volt(2e-6);
    p.shunts[0].resolution = Volt(2.5e-6);
    return p;
}

/// A narrowboat: 12 V, 440 Ah of AGM in two strings, American gauges, shore and alternator.
inline Plan clean_narrowboat() {
    Plan p;
    p.name = "narrowboat";
    p.bank.battery.chemistry = Chemistry::agm;
    p.bank.battery.design_capacity = AmpHour(440);
    p.bank.battery.cells_in_series = 6;
    p.bank.battery.rated_over = Hour(20);
    p.bank.battery.reserve = Fraction(0.5);
    p.bank.strings = 2;
    p.bank.short_circuit = Ampere(8000);
    p.circuits = {circuit("main", "battery", gauge("2/0", 1.0), fuse(FuseKind::class_t, 200), Purpose::main)};
    p.circuits.push_back(circuit("lights", "main", gauge("12", 8.0), fuse(FuseKind::breaker, 10)));
    p.circuits.push_back(circuit("bilge pump", "main", gauge("8", 6.0), fuse(FuseKind::breaker, 15)));
    p.circuits.back().critical = true;
    p.circuits.push_back(circuit("refrigerator", "main", gauge("8", 5.0), fuse(FuseKind::breaker, 15)));
    p.circuits.push_back(circuit("water pump", "main", gauge("10", 6.0), fuse(FuseKind::breaker, 20)));
    p.circuits.push_back(
        circuit("shore charger", "main", gauge("4", 2.0), fuse(FuseKind::breaker, 80), Purpose::charger));
    p.circuits.push_back(circuit("alternator", "main", gauge("2", 2.0), fuse(FuseKind::anl, 125), Purpose::charger));
    p.appliances = {appliance("lights", 40, "lights", 16, 23), appliance("bilge pump", 60, "bilge pump", 8, 8.1),
                    appliance("refrigerator", 60, "refrigerator"), appliance("water pump", 90, "water pump", 7, 8)};
    p.appliances[2].duty = Fraction(0.4);
    Charger shore;
    shore.name = "shore";
    shore.circuit = "shore charger";
    shore.current = Ampere(50);
    shore.absorption = Volt(14.4);
    shore.float_voltage = Volt(13.6);
    shore.absorption_time = Hour(4);
    shore.compensation_mv = -4;
    shore.hours_a_day = Hour(8);
    Charger alternator = shore;
    alternator.name = "alternator";
    alternator.circuit = "alternator";
    alternator.kind = ChargerKind::alternator;
    alternator.hours_a_day = Hour(3);
    alternator.alternator_rating = Ampere(120);
    p.chargers = {shore, alternator};
    p.shunts = {shunt("shunt", 200, 50)};
    return p;
}

/// A cabin: 24 V, 280 Ah of LFP, 1 kW of panels, 3 kW inverter.
inline Plan clean_cabin() {
    Plan p;
    p.name = "cabin";
    p.nominal = Volt(24);
    p.bank.battery.chemistry = Chemistry::lfp;
    p.bank.battery.design_capacity = AmpHour(280);
    p.bank.battery.cells_in_series = 8;
    p.bank.management_system = true;
    p.bank.coldest = Celsius(-15);
    p.bank.heated = true;
    p.bank.short_circuit = Ampere(12000);
    p.climate = sun::climate_of(*sun::known_place("munich"));
    p.circuits = {circuit("main", "battery", metric(95, 1.0), fuse(FuseKind::class_t, 250), Purpose::main)};
    p.circuits.push_back(circuit("inverter", "main", metric(70, 1.0), fuse(FuseKind::anl, 200), Purpose::inverter));
    p.circuits.push_back(circuit("lights", "main", metric(2.5, 10.0), fuse(FuseKind::blade, 10)));
    p.circuits.push_back(circuit("well pump", "main", metric(10, 12.0), fuse(FuseKind::blade_maxi, 30)));
    p.circuits.push_back(circuit("solar", "main", metric(16, 2.0), fuse(FuseKind::sf30, 60), Purpose::charger));
    p.appliances = {appliance("lights", 60, "lights", 16, 23), appliance("well pump", 300, "well pump", 7, 8),
                    behind_inverter(appliance("workshop", 1500, "", 9, 11))};
    p.appliances[1].surge = Watt(900);
    Inverter i;
    i.circuit = "inverter";
    i.power = Watt(3000);
    i.surge = Watt(6000);
    i.idle = Watt(20);
    i.idle_hours = Hour(6);
    p.inverters = {i};
    Charger solar;
    solar.name = "solar";
    solar.circuit = "solar";
    solar.kind = ChargerKind::solar;
    solar.current = Ampere(45);
    solar.absorption = Volt(28.0);
    solar.float_voltage = Volt(27.0);
    solar.highest_input = Volt(150);
    solar.panels.peak = Watt(1200);
    solar.panels.series = 2;
    solar.panels.strings = 2;
    solar.panels.open_circuit = Volt(49);
    solar.panels.at_peak = Volt(41);
    solar.panels.tilt = Degree(45);
    p.chargers = {solar};
    p.shunts = {shunt("shunt", 300, 50)};
    return p;
}

/// A market stall: 12 V, 100 Ah flooded, lights and a till, charged at home.
inline Plan clean_stall() {
    Plan p;
    p.name = "market stall";
    p.bank.battery.chemistry = Chemistry::flooded;
    p.bank.battery.design_capacity = AmpHour(110);
    p.bank.battery.cells_in_series = 6;
    p.bank.battery.rated_over = Hour(20);
    p.bank.battery.reserve = Fraction(0.5);
    p.circuits = {circuit("main", "battery", metric(6, 0.5), fuse(FuseKind::terminal, 40), Purpose::main)};
    p.circuits.push_back(circuit("lights", "main", metric(2.5, 4.0), fuse(FuseKind::blade, 10)));
    p.circuits.push_back(circuit("till", "main", metric(2.5, 3.0), fuse(FuseKind::blade, 5)));
    p.circuits.push_back(circuit("charger", "main", metric(6, 1.0), fuse(FuseKind::blade, 20), Purpose::charger));
    p.appliances = {appliance("lights", 40, "lights", 6, 9), appliance("till", 15, "till", 6, 14)};
    Charger shore;
    shore.name = "charger";
    shore.circuit = "charger";
    shore.current = Ampere(15);
    shore.absorption = Volt(14.5);
    shore.float_voltage = Volt(13.4);
    shore.absorption_time = Hour(3);
    shore.compensation_mv = -4;
    shore.hours_a_day = Hour(10);
    p.chargers = {shore};
    p.shunts = {shunt("shunt", 60, 60)};
    return p;
}

/// An expedition truck: 24 V, 400 Ah of gel in one string, cables in a warm engine space.
inline Plan clean_truck() {
    Plan p;
    p.name = "truck";
    p.nominal = Volt(24);
    p.bank.battery.chemistry = Chemistry::gel;
    p.bank.battery.design_capacity = AmpHour(400);
    p.bank.battery.cells_in_series = 12;
    p.bank.battery.rated_over = Hour(20);
    p.bank.battery.reserve = Fraction(0.5);
    p.bank.short_circuit = Ampere(5000);
    p.circuits = {circuit("main", "battery", metric(50, 1.0), fuse(FuseKind::nh, 160), Purpose::main)};
    p.circuits.push_back(circuit("winch lights", "main", metric(4, 6.0), fuse(FuseKind::blade, 15)));
    p.circuits.back().run->laying.engine_space = true;
    p.circuits.push_back(circuit("diesel heater", "main", metric(4, 4.0), fuse(FuseKind::blade, 20)));
    p.circuits.push_back(circuit("radio", "main", metric(2.5, 4.0), fuse(FuseKind::blade, 10)));
    p.circuits.back().critical = true;
    p.circuits.push_back(circuit("alternator", "main", metric(25, 2.0), fuse(FuseKind::anl, 100), Purpose::charger));
    p.appliances = {appliance("winch lights", 100, "winch lights", 20, 21),
                    appliance("diesel heater", 60, "diesel heater", 18, 24), appliance("radio", 40, "radio", 8, 20)};
    p.appliances[1].surge = Watt(240);
    Charger alternator;
    alternator.name = "alternator";
    alternator.circuit = "alternator";
    alternator.kind = ChargerKind::alternator;
    alternator.current = Ampere(60);
    alternator.alternator_rating = Ampere(120);
    alternator.absorption = Volt(28.4);
    alternator.float_voltage = Volt(27.0);
    alternator.absorption_time = Hour(3);
    alternator.compensation_mv = -3;
    alternator.hours_a_day = Hour(5);
    p.chargers = {alternator};
    p.shunts = {shunt("shunt", 200, 60)};
    return p;
}

}  // namespace amphora::design

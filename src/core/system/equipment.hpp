// What the description says of appliances, circuits, chargers and the rest, as it stands there: names and figures, not
// yet judged or joined. core/design turns it into a plan.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "core/quantity/angle.hpp"
#include "core/quantity/irradiance.hpp"
#include "core/quantity/length.hpp"
#include "core/quantity/money.hpp"
#include "core/quantity/quantity.hpp"

namespace amphora {

/// A month of the year, 1 = January.
using MonthNumber = Quantity<struct MonthNumberTag>;
using DaysPerWeek = Quantity<struct DaysPerWeekTag>;
using Days = Quantity<struct DaysTag>;
/// Slope of a charge voltage with temperature, per cell.
using VoltPerKelvin = Quantity<struct VoltPerKelvinTag>;
/// Relative change per kelvin.
using PerKelvin = Quantity<struct PerKelvinTag>;

namespace described {

enum class Feed { battery, inverter, shore };
enum class Purpose { load, main, panel, inverter, charger };
enum class Negative { shunt, battery, chassis };
enum class ChargerKind { solar, alternator, shore };
enum class Controller { tracking, switching };
enum class Mounting { open_rack, glass_open_rack, close_to_roof, glued_to_roof };

struct Appliance {
    std::string name;
    std::string circuit;
    Feed feed = Feed::battery;
    int count = 1;
    Watt power = Watt::missing();
    Ampere current = Ampere::missing();
    Watt standby{};
    Watt surge = Watt::missing();
    Fraction duty{1.0};
    std::vector<Hour> on;  // pairs of clock hours, from and to
    Hour hours_a_day = Hour::missing();
    DaysPerWeek days_a_week{7.0};
    std::vector<MonthNumber> months;
    Watt measured = Watt::missing();       // by a draw test, at the battery, mean while it is on
    Watt measured_band = Watt::missing();  // half the width of its 90 % band
    Money price = Money::missing();
};

struct Circuit {
    std::string name;
    std::string from = "battery";
    Purpose purpose = Purpose::load;
    bool critical = false;
    SquareMillimetre cable = SquareMillimetre::missing();
    std::string gauge;
    Celsius insulation{70.0};
    Metre length = Metre::missing();
    int bundled = 1;
    bool engine_space = false;
    Celsius ambient{30.0};
    bool sheathed = false;
    std::string fuse_kind;
    Ampere fuse = Ampere::missing();
    Ampere fuse_interrupts = Ampere::missing();
    Volt fuse_voltage = Volt::missing();
    Metre fuse_from_source = Metre::missing();
    Ampere continuous = Ampere::missing();
    Ampere surge = Ampere::missing();
    Negative negative = Negative::shunt;
    std::string lug;
    Money price = Money::missing();
};

struct Inverter {
    std::string name;
    std::string circuit;
    Watt power = Watt::missing();
    Watt surge = Watt::missing();
    Watt idle{};
    Hour idle_hours{24.0};
    Fraction efficiency{0.90};
    std::vector<Fraction> curve_load;  // share of the rated power
    std::vector<Fraction> curve_efficiency;
    Volt cut_off = Volt::missing();
    Volt highest_input = Volt::missing();
    Money price = Money::missing();
};

struct Charger {
    std::string name;
    std::string circuit;
    ChargerKind kind = ChargerKind::shore;
    Ampere current = Ampere::missing();
    Volt absorption = Volt::missing();
    Hour absorption_time = Hour::missing();
    Volt float_voltage = Volt::missing();
    Volt equalise = Volt::missing();
    VoltPerKelvin compensation{};
    bool stops_in_cold = false;
    int panels = 1;
    Watt panel_power = Watt::missing();
    int in_series = 1;
    Volt panel_open_circuit = Volt::missing();
    Volt panel_at_peak = Volt::missing();
    Ampere panel_short_circuit = Ampere::missing();
    Degree tilt{};
    Degree azimuth{180.0};
    Degree horizon{};
    Fraction shade{};
    Mounting mounting = Mounting::close_to_roof;
    PerKelvin power_by_heat{-0.0040};
    Controller controller = Controller::tracking;
    Volt highest_input = Volt::missing();
    bool string_fuses = false;
    Ampere alternator = Ampere::missing();
    bool limits_current = true;
    Hour hours_a_day{};
    Money price = Money::missing();
    Money panel_price = Money::missing();
};

/// More about the battery than the estimator needs.
struct Bank {
    int strings = 1;
    Ampere short_circuit = Ampere::missing();
    Ampere most_charge = Ampere::missing();
    Ampere most_discharge = Ampere::missing();
    Ampere most_surge = Ampere::missing();
    std::optional<bool> management_system;
    bool string_fuses = false;
    bool heated = false;
    Celsius coldest = Celsius::missing();
    Celsius warmest = Celsius::missing();
    Money price = Money::missing();
};

/// More about a shunt and its meter, same index as System::meters.
struct MeterDetail {
    std::string circuit;  // the one whose current it measures; empty: all of the battery's
    Fraction continuous_share{2.0 / 3.0};
    Ampere highest = Ampere::missing();
    Volt offset = Volt::missing();
    Volt resolution = Volt::missing();
    bool in_use = true;
    Money price = Money::missing();
};

/// Monthly means; each list has twelve entries or none.
struct Climate {
    std::string known_place;
    std::vector<KilowattHourPerSquareMetre> global_per_day;
    std::vector<Celsius> mean;
    std::string weather_file;
};

/// Where the system is in some months.
struct Stay {
    std::vector<MonthNumber> months;
    std::string known_place;
};

struct Wishes {
    Days days_without_sun = Days::missing();
    std::vector<MonthNumber> months;
    Money budget = Money::missing();
    std::string currency;
};

}  // namespace described

/// Everything of a description that only the plan cares about.
struct Equipment {
    described::Bank bank;
    std::vector<described::MeterDetail> meters;
    std::vector<described::Appliance> appliances;
    std::vector<described::Circuit> circuits;
    std::vector<described::Inverter> inverters;
    std::vector<described::Charger> chargers;
    std::vector<described::Stay> route;
    std::optional<described::Climate> climate;
    std::optional<described::Wishes> wishes;
};

}  // namespace amphora

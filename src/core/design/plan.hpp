// The plan of a system as the design checks see it: what the description says about appliances, circuits, bank,
// chargers, inverter, shunts and place, validated, defaults filled in. What a person did not give is `missing()` or
// empty.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "core/design/drop.hpp"
#include "core/design/fuse.hpp"
#include "core/quantity/money.hpp"
#include "core/sun/cell_temperature.hpp"
#include "core/sun/climate.hpp"
#include "core/system/system.hpp"

namespace amphora::design {

using Months = std::array<bool, 12>;
constexpr Months whole_year{true, true, true, true, true, true, true, true, true, true, true, true};

/// What feeds an appliance.
enum class Feed { battery, inverter, shore };

/// What a draw test of an appliance said, beside what was described.
struct MeasuredDraw {
    Watt mean{};                  // at the battery, of one of them, on average while it is on
    Watt band = Watt::missing();  // half the width of its 90 % band
    Watt described{};             // what the description comes to for the same
};

/// Where a draw test was made, `power` and `duty` are those that it implies.
struct Appliance {
    std::string name;
    std::string circuit;  // the direct-current circuit that feeds it; empty when not said, or behind the inverter
    Feed feed = Feed::battery;
    int count = 1;
    Watt power{};    // while it runs
    Watt standby{};  // around the clock, on top
    Watt surge = Watt::missing();
    Fraction duty{1.0};                   // share of its on-time that it really draws power
    std::array<double, 24> on_by_hour{};  // share of each clock hour that it is on, 0..1
    double days_a_week = 7.0;
    Months months = whole_year;
    std::optional<MeasuredDraw> measured;
    Money price = Money::missing();
};

/// Where the negative wire of a circuit ends.
enum class Negative { load_side, battery_post, chassis };

struct Protection {
    FuseKind kind = FuseKind::blade;
    Ampere rating{};
    Ampere interrupts = Ampere::missing();  // given for this part; else typical of its kind
    Volt highest = Volt::missing();
    Metre from_source = Metre::missing();  // along the wire
    [[nodiscard]] Ampere capacity(Volt nominal) const {
        return interrupts.known() ? interrupts : interrupts_at(kind, nominal);
    }
    [[nodiscard]] Volt withstands() const { return highest.known() ? highest : data(kind).highest; }
};

enum class Purpose { load, main, panel, inverter, charger };

struct Circuit {
    std::string name;
    std::string from = "battery";  // "battery", or the circuit at whose end this one begins
    Purpose purpose = Purpose::load;
    bool critical = false;  // 3 % drop instead of 10 %
    std::optional<Run> run;
    bool sheathed = false;  // the wire to its fuse lies in a sheath or conduit all the way
    std::optional<Protection> protection;
    Ampere continuous = Ampere::missing();  // as said; else what hangs on it
    Ampere surge = Ampere::missing();
    Negative negative = Negative::load_side;
    std::string lug;  // conductor size that its terminals are made for, as a label; empty: not said
    Money price = Money::missing();
};

struct Inverter {
    std::string name = "inverter";
    std::string circuit;
    Watt power{};
    Watt surge = Watt::missing();
    Watt idle{};
    Hour idle_hours{24.0};  // a day that it is switched on
    Fraction efficiency{0.90};
    std::vector<Fraction> curve_load;        // shares of `power` at which the efficiency is known, increasing
    std::vector<Fraction> curve_efficiency;  // one for each
    Volt cut_off = Volt::missing();          // stops below
    Volt highest_input = Volt::missing();
    Money price = Money::missing();
};

enum class ChargerKind { solar, alternator, shore };
enum class ControllerKind { tracking, switching };  // follows the panel's best voltage, or ties it to the battery

struct Panels {
    Watt peak{};  // all of them together
    int series = 1;
    int strings = 1;
    Volt open_circuit = Volt::missing();  // one panel
    Volt at_peak = Volt::missing();
    Ampere short_circuit = Ampere::missing();
    Degree tilt{};
    Degree azimuth{180.0};
    double shade = 0.0;  // share of the beam that never arrives
    Degree horizon{};    // height of what stands around, as one angle
    sun::Mounting mounting = sun::Mounting::close_to_roof;
    double per_kelvin = -0.0040;
    bool string_fuses = false;
    Money price_per_panel = Money::missing();
};

struct Charger {
    std::string name;
    std::string circuit;
    ChargerKind kind = ChargerKind::shore;
    Ampere current{};  // most it gives to the battery
    Volt absorption = Volt::missing();
    Hour absorption_time = Hour::missing();
    Volt float_voltage = Volt::missing();
    Volt equalise = Volt::missing();
    double compensation_mv = 0.0;  // per kelvin and cell; negative lowers the voltage in the heat
    bool stops_in_cold = false;
    // solar
    Panels panels;
    ControllerKind controller = ControllerKind::tracking;
    Volt highest_input = Volt::missing();
    // alternator, shore
    Ampere alternator_rating = Ampere::missing();
    bool limits_current = true;  // a charger between alternator and bank holds the current
    Hour hours_a_day{};          // driving, or plugged in
    Money price = Money::missing();
};

struct Shunt {
    std::string name = "shunt";
    std::string circuit;  // the one whose current it measures; empty: all of the battery's
    Ampere rating = Ampere::missing();
    Volt rated_drop = Volt::missing();
    Fraction continuous_share{2.0 / 3.0};  // of its rating that it may carry for good
    Ampere highest = Ampere::missing();    // the meter's own range, where it ends earlier
    Volt offset = Volt::missing();         // the meter's error at zero, as a voltage across the shunt
    Volt resolution = Volt::missing();     // smallest step that the meter shows
    Fraction gain_error = Fraction::missing();
    Money price = Money::missing();
    bool in_use = true;  // false: a candidate to compare with
};

struct Bank {
    Battery battery;  // the bank as a whole: capacity of all strings together
    int strings = 1;
    Ampere short_circuit = Ampere::missing();  // of the whole bank
    Ampere most_charge = Ampere::missing();
    Ampere most_discharge = Ampere::missing();
    Ampere most_surge = Ampere::missing();
    std::optional<bool> management_system;  // can disconnect the bank by itself; empty: not said
    bool string_protection = false;         // a fuse in each string
    bool heated = false;
    Celsius coldest = Celsius::missing();
    Celsius warmest = Celsius::missing();
    Money price = Money::missing();
};

/// What the person wants of it.
struct Wishes {
    double days_without_sun = 2.0;
    Months months = whole_year;
    Money budget = Money::missing();
};

struct Plan {
    std::string name = "unnamed";
    Volt nominal{12.0};
    Bank bank;
    std::vector<Appliance> appliances;
    std::vector<Circuit> circuits;
    std::vector<Inverter> inverters;
    std::vector<Charger> chargers;
    std::vector<Shunt> shunts;
    sun::Climate climate;
    Wishes wishes;
    std::string currency = "EUR";
};

}  // namespace amphora::design

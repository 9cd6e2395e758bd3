// How much current each circuit has to carry.
#pragma once

#include "core/design/plan.hpp"

namespace amphora::design {

/// How the inverter counts: at its rating (cables and fuses must stand it), or with the appliances that hang on it.
enum class Reckoning { installed, expected };

struct Load {
    Ampere out;        // worst clock hour, everything that may run then at once; from the battery
    Ampere out_surge;  // with the greatest starting surge on top
    Ampere in;         // all chargers of the circuit at their most
    [[nodiscard]] Ampere greatest() const { return std::max(out, in); }
};

/// Current of a circuit with all that hangs on it, further circuits included. A current
/// said for the circuit itself counts where it is greater.
[[nodiscard]] Load load_of(const Plan& plan, const Circuit& circuit, Reckoning how);

/// Current of the whole system at the battery, as the shunt sees it.
[[nodiscard]] Load load_of_bank(const Plan& plan, Reckoning how);

/// Current through a shunt: of the whole system, or of the circuit that it sits in.
[[nodiscard]] Load load_through(const Plan& plan, const Shunt& shunt, Reckoning how);

/// All chargers that may run at once: nobody drives while plugged in, and the sun adds to either.
[[nodiscard]] Ampere chargers_at_once(const Plan& plan);

/// Battery current of an inverter that gives this power, with the bank as low as it is used.
[[nodiscard]] Ampere inverter_current(const Plan& plan, const Inverter& inverter, Watt output);

/// Output over input at an output: from the curve where there is one, else the one figure.
[[nodiscard]] Fraction efficiency_at(const Inverter& inverter, Watt output);

/// Greatest power that appliances behind inverters ask for at once (worst clock hour), and with the worst surge.
struct AcDemand {
    Watt continuous;
    Watt surge;
};
[[nodiscard]] AcDemand ac_demand(const Plan& plan);

/// Highest voltage that the chargers hold the system at, equalising included; the most that the chemistry stands where
/// no charger says its voltage.
[[nodiscard]] Volt working_high(const Plan& plan);

/// Voltage of the bank under load near its reserve: the lowest that cables and inverter work at.
[[nodiscard]] Volt working_low(const Plan& plan);

/// Resistance of the bank and the prospective short-circuit current at its posts: as given, else typical of chemistry
/// and capacity (`estimated`).
struct Source {
    Ampere short_circuit;
    Ohm resistance;
    bool estimated = false;
};
[[nodiscard]] Source source_of(const Plan& plan);

/// Strings in parallel add their short-circuit currents; batteries in series do not.
[[nodiscard]] constexpr Ampere short_circuit_of_strings(Ampere one_string, int strings) { return one_string * strings; }

/// Short-circuit current where a circuit begins, the cables before it counted.
[[nodiscard]] Ampere fault_current(const Plan& plan, const Circuit& circuit);

/// Copper between the battery and the end of a circuit, there and back, at a temperature; nothing where no cable is
/// described.
[[nodiscard]] Ohm copper_to_the_end(const Plan& plan, const Circuit& circuit, Celsius copper);

/// The circuit at whose end this one begins; null when it begins at the battery.
[[nodiscard]] const Circuit* parent_of(const Plan& plan, const Circuit& circuit);

}  // namespace amphora::design

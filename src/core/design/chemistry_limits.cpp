#include "core/design/chemistry_limits.hpp"

#include <algorithm>
#include <array>

namespace amphora::design {
namespace {

using V = Volt;

// Float voltages and their slope: 13.05 / 13.4 / 13.6 V gel / flooded / AGM at 25 C, -5 mV per kelvin and cell, as in
// the encyclopedia's worked example. Charging of LFP from 0 C: cell data sheets. Absorption 2.33-2.50 V a cell, charge
// and discharge rates, resistances and times: common practice, from memory, no single source.
constexpr std::array<ChemistryLimits, 7> table{{
    {Chemistry::lfp, "LFP",   V(3.2), V(3.33), V(3.05), V(3.43), V(3.65), V(3.28), V(3.45), V(0),
     Hour(0.1),      Hour(2), 0.5,    1.0,     0.05,    0.050,   0.0,     4,       false,   Celsius(0)},
    {Chemistry::agm, "AGM",   V(2.0), V(2.13), V(1.85), V(2.35), V(2.47), V(2.21), V(2.31), V(0),
     Hour(2),        Hour(8), 0.30,   0.5,     0.08,    0.060,   0.4,     4,       true,    Celsius(-20)},
    {Chemistry::gel, "gel",   V(2.0), V(2.14), V(1.85), V(2.32), V(2.41), V(2.17), V(2.30), V(0),
     Hour(2),        Hour(8), 0.25,   0.4,     0.08,    0.075,   0.4,     4,       true,    Celsius(-20)},
    {Chemistry::flooded,
     "flooded lead-acid",
     V(2.0),
     V(2.11),
     V(1.85),
     V(2.35),
     V(2.50),
     V(2.16),
     V(2.28),
     V(2.70),
     Hour(2),
     Hour(8),
     0.25,
     0.4,
     0.08,
     0.085,
     0.4,
     4,
     true,
     Celsius(-20)},
    {Chemistry::nmc, "NMC",   V(3.65), V(4.15), V(3.4), V(4.05), V(4.20), V(3.7), V(4.1), V(0),
     Hour(0.1),      Hour(2), 0.5,     1.0,     0.05,   0.060,   0.0,     4,      false,  Celsius(0)},
    {Chemistry::nca, "NCA",   V(3.6), V(4.15), V(3.3), V(4.05), V(4.20), V(3.7), V(4.1), V(0),
     Hour(0.1),      Hour(2), 0.5,    1.0,     0.05,   0.080,   0.0,     4,      false,  Celsius(0)},
    {Chemistry::lto, "LTO",   V(2.3), V(2.6), V(2.1), V(2.6), V(2.80), V(2.4), V(2.6), V(0),
     Hour(0.1),      Hour(2), 1.0,    3.0,    0.05,   0.030,  0.0,     4,      false,  Celsius(-30)},
}};

}  // namespace

const ChemistryLimits& limits(Chemistry c) { return *std::ranges::find(table, c, &ChemistryLimits::chemistry); }

}  // namespace amphora::design

#include "io/describe/chemistry_defaults.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace amphora::describe {
namespace {

constexpr std::string_view lithium_tail =
    "end of constant-voltage charge at 0.05 C on cell data sheets, from memory; common practice, no source";
constexpr std::string_view lead_tail =
    "current no longer falling at absorption voltage, in the manner of IEEE 450 and IEEE 1188, from memory; common "
    "practice, no source";

// Nominal cell voltages: 2.0 V lead-acid, 3.2 V LFP, 3.6 V NMC and NCA, 2.3 V LTO (cell data sheets, from memory). What
// is sold as 12 V is four cells of LFP (12.8 V) but six of lead-acid (12.0 V); NMC, NCA and LTO are sold with differing
// numbers of cells under one nominal voltage, so that their limits are wide.
constexpr std::array<ChemistryDefaults, 7> chemistries = {{
    {Chemistry::lfp,
     "lfp",
     "lithium iron phosphate",
     Volt(3.2),
     4,
     0.96,
     1.08,
     {Volt(1.8), Volt(3.8)},
     {Volt(3.3), Volt(3.75)},
     Volt(3.475),
     CRate(0.04),
     Second(180),
     lithium_tail,
     Hour(5),
     Fraction(0.2)},
    {Chemistry::agm,
     "agm",
     "absorbed-glass-mat lead-acid",
     Volt(2.0),
     6,
     0.97,
     1.03,
     {Volt(1.7), Volt(2.4)},
     {Volt(2.2), Volt(2.6)},
     Volt(2.37),
     CRate(0.01),
     Second(3600),
     lead_tail,
     Hour(20),
     Fraction(0.5)},
    {Chemistry::gel,
     "gel",
     "gel lead-acid",
     Volt(2.0),
     6,
     0.97,
     1.03,
     {Volt(1.7), Volt(2.4)},
     {Volt(2.2), Volt(2.6)},
     Volt(2.33),
     CRate(0.015),
     Second(3600),
     lead_tail,
     Hour(20),
     Fraction(0.5)},
    {Chemistry::flooded,
     "flooded",
     "flooded lead-acid",
     Volt(2.0),
     6,
     0.97,
     1.03,
     {Volt(1.7), Volt(2.4)},
     {Volt(2.2), Volt(2.75)},
     Volt(2.40),
     CRate(0.02),
     Second(3600),
     lead_tail,
     Hour(20),
     Fraction(0.5)},
    {Chemistry::nmc,
     "nmc",
     "lithium nickel manganese cobalt oxide",
     Volt(3.6),
     3.34,
     0.89,
     1.21,
     {Volt(2.0), Volt(4.5)},
     {Volt(3.9), Volt(4.45)},
     Volt(4.10),
     CRate(0.05),
     Second(180),
     lithium_tail,
     Hour(5),
     Fraction(0.2)},
    {Chemistry::nca,
     "nca",
     "lithium nickel cobalt aluminium oxide",
     Volt(3.6),
     3.34,
     0.89,
     1.21,
     {Volt(2.0), Volt(4.5)},
     {Volt(3.9), Volt(4.45)},
     Volt(4.10),
     CRate(0.05),
     Second(180),
     lithium_tail,
     Hour(5),
     Fraction(0.2)},
    {Chemistry::lto,
     "lto",
     "lithium titanate",
     Volt(2.3),
     5,
     0.94,
     1.16,
     {Volt(1.2), Volt(3.0)},
     {Volt(2.4), Volt(2.95)},
     Volt(2.65),
     CRate(0.05),
     Second(180),
     lithium_tail,
     Hour(5),
     Fraction(0.2)},
}};

}  // namespace

std::span<const ChemistryDefaults> all_chemistries() { return chemistries; }

const ChemistryDefaults& defaults_of(Chemistry chemistry) {
    return *std::ranges::find(chemistries, chemistry, &ChemistryDefaults::chemistry);
}

bool cells_fit(const ChemistryDefaults& chemistry, int cells, Volt nominal) {
    const double match = (chemistry.nominal * cells) / nominal;
    return match >= chemistry.least_match && match <= chemistry.most_match;
}

int likely_cells(const ChemistryDefaults& chemistry, Volt nominal) {
    const double twelves = nominal / Volt(12.0);
    const bool as_sold = twelves > 0.5 && std::abs(twelves - std::round(twelves)) < 0.01;
    const double cells = as_sold ? twelves * chemistry.cells_per_12_v : nominal / chemistry.nominal;
    return std::max(1, static_cast<int>(std::lround(cells)));
}

}  // namespace amphora::describe

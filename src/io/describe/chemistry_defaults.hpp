// What is assumed of a battery by its chemistry when the description does not say, and what can be true of it at all.
#pragma once

#include <span>
#include <string_view>
#include <utility>

#include "core/system/system.hpp"

namespace amphora::describe {

struct VoltageSpan {
    Volt low{};
    Volt high{};
};

struct ChemistryDefaults {
    Chemistry chemistry;
    std::string_view word;  // in the file
    std::string_view name;  // for people
    Volt nominal;           // per cell
    double cells_per_12_v;  // as sold
    /// Sum of the cells' nominal voltages over the system's nominal voltage: beyond these the two do not belong
    /// together.
    double least_match;
    double most_match;
    VoltageSpan open_circuit;  // per cell, beyond which no measured curve can lie
    VoltageSpan full;          // per cell, beyond which no charger holds this chemistry to fill it
    Volt full_voltage;         // per cell
    CRate full_current;
    Second full_time;
    std::string_view full_source;
    Hour rated_over;
    Fraction reserve;
};

/// One row per chemistry, in the order of the file's words.
[[nodiscard]] std::span<const ChemistryDefaults> all_chemistries();

[[nodiscard]] const ChemistryDefaults& defaults_of(Chemistry chemistry);

/// True if so many cells in series make a battery for that nominal voltage.
[[nodiscard]] bool cells_fit(const ChemistryDefaults& chemistry, int cells, Volt nominal);

/// The number of cells in series that is most likely behind a nominal voltage; at least 1.
[[nodiscard]] int likely_cells(const ChemistryDefaults& chemistry, Volt nominal);

}  // namespace amphora::describe

// The measured cells as readings of ours: times in order of the file, current positive into the battery (all three sets
// have it the other way round: the sign is turned here and nowhere else). Origins: the test of each set.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "core/quantity/reading.hpp"
#include "core/system/system.hpp"
#include "reference/measured_data.hpp"

namespace amphora::measured {

/// A 12 V lead-acid battery of about 17 Ah, discharged on one day of March 2017 ("25" to "28").
[[nodiscard]] std::optional<Table> lead_acid_day(const std::string& day);
/// Temperature, which has rows of its own there, is held until the next. A few readings are some tenths of a second out
/// of order in the file, and so are these.
[[nodiscard]] std::vector<Reading> lead_acid_readings(const Table& table);

/// The readings under load in order of time: the current is beyond 0.25 A out of the battery.
[[nodiscard]] std::vector<Reading> discharge_in_order(std::vector<Reading> readings);

/// One LFP cell of 1.2 Ah at 10 C.
[[nodiscard]] std::optional<Table> lfp_flat_zone();
[[nodiscard]] std::optional<Table> lfp_branches();
/// As a meter with these errors would have shown them.
[[nodiscard]] std::vector<Reading> lfp_readings(const Table& table, Ampere offset = Ampere(0),
                                                Fraction gain = Fraction(0));

/// One 18650 cell of 2.6 Ah. With a run number: the rows of that run only.
[[nodiscard]] std::optional<Table> liion_file(const std::string& name);
struct CountedReadings {
    std::vector<Reading> readings;
    std::vector<AmpHour> counter;  // the tester's own, charge out since the start
};
[[nodiscard]] CountedReadings liion_readings(const Table& table, std::optional<int> run = std::nullopt);

/// A curve thinned to steps of at least `step` in the state of charge, first and last point kept. Any order of rows.
[[nodiscard]] MeasuredOcv thinned(const std::vector<double>& state_of_charge, const std::vector<double>& volt,
                                  double step);

}  // namespace amphora::measured

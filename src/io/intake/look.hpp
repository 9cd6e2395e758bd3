// What the parts of a proposal share: the beginning of the log, its table, the system described, and what was found so
// far.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "core/quantity/reading.hpp"
#include "io/intake/log_sample.hpp"
#include "io/intake/proposal.hpp"

namespace amphora::intake {

class Look {
public:
    Look(std::string_view text, const System* system, LogSample sample, Proposal& proposal);

    [[nodiscard]] std::string_view text() const { return text_; }
    [[nodiscard]] const System* system() const { return system_; }
    [[nodiscard]] const std::vector<SampleColumn>& columns() const { return sample_.columns; }
    [[nodiscard]] Proposal& proposal() { return proposal_; }
    [[nodiscard]] Mapping& mapping() { return proposal_.mapping; }

    void note(std::string text) { proposal_.notes.push_back(std::move(text)); }
    void doubt(std::string text) { proposal_.doubts.push_back(std::move(text)); }

    /// Goes on with other columns than the log seemed to have.
    void replace_columns(std::vector<SampleColumn> columns);

    /// The column that a mapping calls so; nothing when there is none.
    [[nodiscard]] const SampleColumn* column(std::string_view id) const;
    /// All of them in words, cut short.
    [[nodiscard]] std::string names_of_columns() const;
    [[nodiscard]] bool has_names() const { return proposal_.mapping.header || proposal_.mapping.json_lines; }
    [[nodiscard]] bool is_time(const SampleColumn& column) const;
    /// More numbers than words in it.
    [[nodiscard]] bool is_numeric(const SampleColumn& column) const;
    /// The readings that the beginning has by a mapping, at most 200,000.
    [[nodiscard]] std::vector<Reading> readings_by(const Mapping& mapping) const;

private:
    std::string_view text_;
    const System* system_;
    LogSample sample_;
    Proposal& proposal_;
};

/// Text of a log, safe to show, in quotes.
[[nodiscard]] std::string in_quotes(std::string_view text);

/// Finds the columns of times, their format, and the order of day and month.
void find_times(Look& look);
/// Finds out whether each line holds one value of one quantity, and looks at each quantity as a column from there on.
void find_series(Look& look);
/// Finds the columns of current, voltage and temperature, and the lines that are the battery's.
void find_columns(Look& look);
/// Finds the units and signs by the figures themselves.
void find_units(Look& look);

}  // namespace amphora::intake

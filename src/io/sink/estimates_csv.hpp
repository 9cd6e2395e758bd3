// Estimates as CSV, a row per moment. The columns are described in docs/reference/estimates-csv.md.
#pragma once

#include <optional>

#include "core/estimate/estimate.hpp"
#include "io/sink/output_file.hpp"

namespace amphora::sink {

class EstimatesCsv {
public:
    /// Writes the header into `file`.
    explicit EstimatesCsv(OutputFile file);

    /// Writes a row. Without hindsight its cells are empty, as are times that are infinite and what was not measured.
    void write(const Estimate& estimate, const std::optional<Uncertain<Fraction>>& hindsight);

    std::expected<void, SinkError> commit() { return file_.commit(); }

private:
    OutputFile file_;
};

}  // namespace amphora::sink

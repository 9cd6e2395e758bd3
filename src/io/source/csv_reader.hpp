// Readings from a CSV log, streaming: memory does not grow with the log, and no line costs an allocation.
#pragma once

#include <array>
#include <cstdint>
#include <expected>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "core/quantity/reading.hpp"
#include "core/system/system.hpp"
#include "io/source/bad_line.hpp"
#include "io/source/csv_row.hpp"
#include "io/source/line_splitter.hpp"

namespace amphora::source {

/// What was met on the way. Every line is in exactly one of the counts; the header is in none.
struct CsvReport {
    std::uint64_t readings = 0;
    std::uint64_t bad = 0;
    std::uint64_t blank = 0;
    std::uint64_t comments = 0;
    std::uint64_t repeated_headers = 0;  // as in logs that were joined
    std::vector<BadLine> first_bad;      // at most `bad_lines_kept`
    std::vector<std::string> notes;      // columns that are not used, and which meter the shunt's drop was taken for
};

constexpr std::size_t bad_lines_kept = 5;

class CsvReader {
public:
    /// Reads the header. Blank lines and lines that start with # may come before it, and anywhere; so may a byte order
    /// mark at the start. A column shunt_mv is turned into amperes by the rated pair of the first meter of `system`.
    static std::expected<CsvReader, SourceError> open(std::unique_ptr<ByteInput> input, const System& system);

    /// The next readings, in the order of the file; at most 4096, and none at the end of the log. Valid until the next
    /// call. Lines that cannot be read are counted in the report and passed over.
    std::expected<std::span<const Reading>, SourceError> next();

    [[nodiscard]] const CsvReport& report() const { return report_; }
    [[nodiscard]] std::uint64_t bytes_read() const { return lines_.bytes_read(); }
    [[nodiscard]] std::optional<std::uint64_t> bytes_in_all() const { return input_->size(); }

private:
    CsvReader(std::unique_ptr<ByteInput> input, LineSplitter lines, std::string header_line, const CsvHeader& header,
              double amperes_per_millivolt, CsvReport report);
    void pass_over(std::string_view line, const RowFault& fault);

    std::unique_ptr<ByteInput> input_;
    LineSplitter lines_;
    std::string header_line_;
    std::vector<std::string> names_;
    CsvRowReader row_;
    std::vector<Reading> batch_;
    CsvReport report_;
};

}  // namespace amphora::source

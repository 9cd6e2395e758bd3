// One line of a CSV log, turned into a reading.
#pragma once

#include <cstddef>
#include <string_view>
#include <vector>

#include "core/quantity/reading.hpp"
#include "core/system/system.hpp"
#include "io/source/bad_line.hpp"
#include "io/source/csv_header.hpp"

namespace amphora::source {

/// What was wrong with a line, and in which column.
struct RowFault {
    LineFault fault = LineFault::none;
    std::size_t column = 0;
    std::string_view cell;
};

class CsvRowReader {
public:
    /// `amperes_per_millivolt` turns the shunt's drop into a current; only needed with a shunt column.
    CsvRowReader(const CsvHeader& header, double amperes_per_millivolt);

    /// Reads a line; what was not measured is missing in the reading. Leaves the reading in an unknown state on a
    /// fault.
    RowFault read(std::string_view line, Reading& reading) const;

private:
    void store(Column column, double value, Reading& reading) const;
    RowFault read_cell(std::size_t index, const char*& p, const char* last, Reading& reading) const;
    LineFault read_odd_cell(Column column, std::string_view cell, Reading& reading) const;

    std::vector<Column> columns_;
    char separator_;
    double amperes_per_millivolt_;
};

}  // namespace amphora::source

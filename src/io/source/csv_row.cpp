#include "io/source/csv_row.hpp"

#include <cmath>

#include "io/source/csv_cell.hpp"
#include "io/source/decimal.hpp"
#include "io/source/moment.hpp"

namespace amphora::source {
namespace {

inline bool ends_cell(const char* p, const char* last, char separator) { return p == last || *p == separator; }

LineFault fault_of(MomentFault fault) {
    return fault == MomentFault::beyond_calendar ? LineFault::time_out_of_range : LineFault::time_malformed;
}

LineFault fault_of(NumberFault fault) {
    return fault == NumberFault::malformed ? LineFault::not_a_number : LineFault::number_out_of_range;
}

}  // namespace

CsvRowReader::CsvRowReader(const CsvHeader& header, double amperes_per_millivolt)
    : columns_(header.columns), separator_(header.separator), amperes_per_millivolt_(amperes_per_millivolt) {}

inline void CsvRowReader::store(Column column, double value, Reading& reading) const {
    switch (column) {
        case Column::current:
            reading.current = Ampere(value);
            break;
        case Column::shunt:
            reading.current = Ampere(value * amperes_per_millivolt_);
            break;
        case Column::voltage:
            reading.voltage = Volt(value);
            break;
        case Column::temperature:
            reading.temperature = Celsius(value);
            break;
        case Column::ignored:
        case Column::time:
            break;
    }
}

// A cell that is not simply digits up to the separator: with blanks or quotes, missing, or wrong.
LineFault CsvRowReader::read_odd_cell(Column column, std::string_view cell, Reading& reading) const {
    if (column == Column::ignored) return LineFault::none;
    cell = bare_cell(cell);
    const char* const first = cell.data();
    const char* const last = first + cell.size();
    if (column == Column::time) {
        if (says_missing(cell)) return LineFault::time_missing;
        const auto moment = read_moment(first, last);
        if (moment.fault != MomentFault::none) return fault_of(moment.fault);
        if (moment.end != last) return LineFault::time_malformed;
        reading.at = moment.at;
        return LineFault::none;
    }
    if (says_missing(cell)) return LineFault::none;
    const auto number = read_decimal(first, last);
    if (number.fault != NumberFault::none) return fault_of(number.fault);
    if (number.end != last) return LineFault::not_a_number;
    if (std::abs(number.value) > largest_value) return LineFault::number_out_of_range;
    store(column, number.value, reading);
    return LineFault::none;
}

// Reads the cell at p and moves p to its end. Plain digits, nearly every cell of nearly every log, take the short way.
inline RowFault CsvRowReader::read_cell(std::size_t index, const char*& p, const char* last, Reading& reading) const {
    const auto column = columns_[index];
    if (column == Column::ignored) {
        const char* end = p;
        while (!ends_cell(end, last, separator_) && *end != '"') ++end;
        if (ends_cell(end, last, separator_)) {
            p = end;
            return {};
        }
    } else if (column == Column::time) {
        const auto moment = read_moment(p, last);
        if (moment.fault == MomentFault::none && ends_cell(moment.end, last, separator_)) {
            reading.at = moment.at;
            p = moment.end;
            return {};
        }
    } else if (!ends_cell(p, last, separator_)) {
        const auto number = read_decimal(p, last);
        if (number.fault == NumberFault::none && ends_cell(number.end, last, separator_) &&
            std::abs(number.value) <= largest_value) {
            store(column, number.value, reading);
            p = number.end;
            return {};
        }
    } else {
        return {};
    }
    const std::string_view rest(p, static_cast<std::size_t>(last - p));
    const auto length = cell_length(rest, separator_);
    if (!length) return {LineFault::open_quote, index, rest};
    p += *length;
    return {read_odd_cell(column, rest.substr(0, *length), reading), index, rest.substr(0, *length)};
}

RowFault CsvRowReader::read(std::string_view line, Reading& reading) const {
    reading.current = Ampere::missing();
    reading.voltage = Volt::missing();
    reading.temperature = Celsius::missing();
    const char* p = line.data();
    const char* const last = p + line.size();
    for (std::size_t index = 0; index < columns_.size(); ++index) {
        if (index > 0) {
            if (p == last) return {LineFault::too_few_cells, index, line};
            ++p;  // the separator
        }
        if (const auto fault = read_cell(index, p, last, reading); fault.fault != LineFault::none) return fault;
    }
    while (p != last && (*p == separator_ || *p == ' ')) ++p;
    if (p != last) return {LineFault::too_many_cells, columns_.size(), line};
    return {};
}

}  // namespace amphora::source

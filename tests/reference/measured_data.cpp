#include "reference/measured_data.hpp"

#include <algorithm>
#include <charconv>
#include <chrono>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <limits>
#include <stdexcept>

namespace amphora::measured {
namespace {

double number(std::string_view cell) {
    double value = std::numeric_limits<double>::quiet_NaN();
    std::from_chars(cell.data(), cell.data() + cell.size(), value);
    return value;
}

double moment(const std::string& cell) {
    int year = 0;
    unsigned month = 0, day = 0, hour = 0, minute = 0;
    double second = 0;
    if (std::sscanf(cell.c_str(), "%d-%u-%u %u:%u:%lf", &year, &month, &day, &hour, &minute, &second) != 6)
        throw std::runtime_error("not a time: " + cell);
    const auto date = std::chrono::year(year) / std::chrono::month(month) / std::chrono::day(day);
    const auto days = std::chrono::sys_days(date).time_since_epoch().count();
    return (static_cast<double>(days) * 24 + hour) * 3600 + minute * 60 + second;
}

std::vector<std::string> cells_of(const std::string& line) {
    std::vector<std::string> cells{""};
    for (const char c : line) {
        if (c == '\r') continue;
        if (c == ',')
            cells.emplace_back();
        else
            cells.back() += c;
    }
    return cells;
}

}  // namespace

std::optional<Table> Table::read(const std::string& name) {
    const auto path = std::filesystem::path(AMPHORA_SOURCE_DIR) / ".." / "shared" / "data" / name;
    std::ifstream in(path);
    if (!in) {
        std::cerr << "MEASURED DATA MISSING, the tests on it do not run: " << path.lexically_normal() << '\n';
        return std::nullopt;
    }
    Table table;
    std::string line;
    std::getline(in, line);
    table.names_ = cells_of(line);
    table.columns_.resize(table.names_.size());
    while (std::getline(in, line)) {
        const auto cells = cells_of(line);
        for (std::size_t k = 0; k < table.columns_.size(); ++k) {
            const std::string cell = k < cells.size() ? cells[k] : "";
            const bool is_time = cell.size() > 10 && cell[4] == '-' && cell[10] == ' ';
            table.columns_[k].push_back(is_time ? moment(cell) : number(cell));
        }
    }
    return table;
}

const std::vector<double>& Table::column(std::string_view name) const {
    const auto at = std::ranges::find(names_, name);
    if (at == names_.end()) throw std::out_of_range("no column " + std::string(name));
    return columns_[static_cast<std::size_t>(at - names_.begin())];
}

AmpHour charge_out_held_before(std::span<const Reading> readings) {
    AmpHour out;
    for (std::size_t k = 1; k < readings.size(); ++k)
        out -= readings[k].current * (readings[k].at - readings[k - 1].at);
    return out;
}

AmpHour charge_out_trapezoid(std::span<const Reading> readings) {
    AmpHour out;
    for (std::size_t k = 1; k < readings.size(); ++k)
        out -= (readings[k - 1].current + readings[k].current) / 2 * (readings[k].at - readings[k - 1].at);
    return out;
}

}  // namespace amphora::measured

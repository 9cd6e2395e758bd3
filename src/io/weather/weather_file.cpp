#include "io/weather/weather_file.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <fstream>
#include <iterator>
#include <optional>
#include <vector>

#include "io/weather/file_days.hpp"

namespace amphora::weather {
namespace {

constexpr std::uintmax_t longest_file = std::uintmax_t{64} << 20U;

std::vector<std::string_view> split(std::string_view line) {
    std::vector<std::string_view> cells;
    while (true) {
        const auto comma = line.find(',');
        cells.push_back(line.substr(0, comma));
        if (comma == std::string_view::npos) return cells;
        line.remove_prefix(comma + 1);
    }
}

std::optional<double> number(std::string_view cell) {
    while (cell.starts_with(' ')) cell.remove_prefix(1);
    while (cell.ends_with(' ') || cell.ends_with('\r')) cell.remove_suffix(1);
    double value = 0.0;
    const auto [end, error] = std::from_chars(cell.data(), cell.data() + cell.size(), value);
    if (error != std::errc{} || end != cell.data() + cell.size()) return std::nullopt;
    return value;
}

/// Adds hours up into months; the day's swing is that of the mean day.
class Months {
public:
    void add(const FileHour& h) {
        Sum& s = sums_.at(static_cast<std::size_t>(h.month));
        s.global += h.global;
        s.air += h.air;
        s.by_hour.at(static_cast<std::size_t>(h.hour)) += h.air;
        s.hours += 1.0;
    }
    /// False if a month has fewer than twenty days.
    [[nodiscard]] bool fill(sun::Climate& c) const {
        for (std::size_t m = 0; m < 12; ++m) {
            const Sum& s = sums_.at(m);
            if (s.hours < 480.0) return false;
            const double days = s.hours / 24.0;
            const auto [coolest, warmest] = std::ranges::minmax_element(s.by_hour);
            c.months.at(m).global_per_day = KilowattHourPerSquareMetre(s.global / 1000.0 / days);
            c.months.at(m).mean = Celsius(s.air / s.hours);
            c.months.at(m).swing = Celsius((*warmest - *coolest) / days);
        }
        return true;
    }

private:
    struct Sum {
        double global = 0.0;
        double air = 0.0;
        double hours = 0.0;
        std::array<double, 24> by_hour{};
    };
    std::array<Sum, 12> sums_{};
};

struct Columns {
    std::size_t global = 0;
    std::size_t diffuse = 0;
    std::size_t air = 0;
};

/// The fields and what stands for a missing one: EnergyPlus, Auxiliary Programs, "EPW data dictionary".
std::optional<FileHour> epw_hour(const std::vector<std::string_view>& cells) {
    constexpr std::size_t month = 1, day = 2, hour = 3, air = 6, global = 13, diffuse = 15;
    constexpr double no_air = 99.9, no_light = 9999.0;
    if (cells.size() <= global) return std::nullopt;
    const auto m = number(cells[month]);
    const auto d = number(cells[day]);
    const auto h = number(cells[hour]);
    const auto t = number(cells[air]);
    const auto g = number(cells[global]);
    if (!m || !d || !h || !t || !g || *m < 1 || *m > 12 || *d < 1 || *d > 31 || *h < 1 || *h > 24) return std::nullopt;
    if (*t >= no_air || *g >= no_light) return std::nullopt;
    const auto f = cells.size() > diffuse ? number(cells[diffuse]) : std::nullopt;
    return FileHour{static_cast<int>(*m) - 1,       static_cast<int>(*d),
                    static_cast<int>(*h) - 1,       *g,
                    f && *f < no_light ? *f : -1.0, *t};
}

/// Times are as 20180131:1300.
std::optional<FileHour> pvgis_hour(const std::vector<std::string_view>& cells, Columns at) {
    if (cells.size() <= std::max(at.global, at.air) || cells[0].size() != 13 || cells[0][8] != ':') return std::nullopt;
    const auto m = number(cells[0].substr(4, 2));
    const auto d = number(cells[0].substr(6, 2));
    const auto h = number(cells[0].substr(9, 2));
    const auto t = number(cells[at.air]);
    const auto g = number(cells[at.global]);
    if (!m || !d || !h || !t || !g || *m < 1 || *m > 12 || *d < 1 || *d > 31 || *h > 23) return std::nullopt;
    const auto f = cells.size() > at.diffuse ? number(cells[at.diffuse]) : std::nullopt;
    return FileHour{static_cast<int>(*m) - 1, static_cast<int>(*d), static_cast<int>(*h), *g, f.value_or(-1.0), *t};
}

std::optional<double> after_colon(std::string_view line) {
    const auto colon = line.find(':');
    return colon == std::string_view::npos ? std::nullopt : number(line.substr(colon + 1));
}

WeatherError not_known(std::string_view name) {
    return {
        fmt::format("{}: expected an EPW file (its first line begins with LOCATION) or a typical year as CSV from "
                    "PVGIS (with columns T2m and G(h)); "
                    "download one of these for your place",
                    name)};
}

std::expected<sun::Climate, WeatherError> climate_of(const std::vector<FileHour>& hours, const Place& place, int ahead,
                                                     std::string_view name) {
    Months months;
    FileDays days(ahead);
    for (const FileHour& h : hours) {
        months.add(h);
        days.add(h);
    }
    sun::Climate c;
    if (!months.fill(c))
        return std::unexpected(WeatherError{
            fmt::format("{}: expected a whole year of hours; some month has less than twenty days", name)});
    for (sun::Month& m : c.months) {
        m.latitude = place.latitude;
        m.longitude = place.longitude;
    }
    c.days = days.by_month(c);
    c.given = true;
    c.source = fmt::format("the weather file {}", name);
    c.trust = 0.10;
    return c;
}

}  // namespace

std::expected<sun::Climate, WeatherError> read_weather(std::string_view text, std::string_view name) {
    std::vector<FileHour> hours;
    std::optional<double> latitude;
    std::optional<double> longitude;
    std::optional<Columns> pvgis;
    const bool epw = text.starts_with("LOCATION,");
    for (std::size_t number_of_line = 1; !text.empty(); ++number_of_line) {
        const auto end = std::min(text.find('\n'), text.size());
        const auto line = text.substr(0, end);
        text.remove_prefix(std::min(end + 1, text.size()));
        const auto cells = split(line);
        if (epw) {
            if (number_of_line == 1 && cells.size() > 7) {
                latitude = number(cells[6]);
                longitude = number(cells[7]);
            }
            if (const auto hour = epw_hour(cells); hour && number_of_line > 8) hours.push_back(*hour);
        } else if (line.starts_with("Latitude")) {
            latitude = after_colon(line);
        } else if (line.starts_with("Longitude")) {
            longitude = after_colon(line);
        } else if (line.starts_with("time(UTC)")) {
            const auto column = [&](std::string_view title) {
                return static_cast<std::size_t>(std::ranges::find(cells, title) - cells.begin());
            };
            pvgis = Columns{column("G(h)"), column("Gd(h)"), column("T2m")};
        } else if (pvgis) {
            if (const auto hour = pvgis_hour(cells, *pvgis)) hours.push_back(*hour);
        }
    }
    if (!latitude || !longitude || *latitude < -90 || *latitude > 90) return std::unexpected(not_known(name));
    const Place place{Degree(*latitude), Degree(*longitude), Metre(0.0)};
    constexpr double degrees_an_hour = 15.0;
    // An EPW file keeps the zone's time, PVGIS keeps UTC.
    return climate_of(hours, place, epw ? 0 : static_cast<int>(std::lround(*longitude / degrees_an_hour)), name);
}

std::expected<sun::Climate, WeatherError> read_weather_file(const std::filesystem::path& file) {
    std::error_code error;
    const auto size = std::filesystem::file_size(file, error);
    if (error)
        return std::unexpected(WeatherError{fmt::format("{}: cannot be read: {}", file.string(), error.message())});
    if (size > longest_file)
        return std::unexpected(WeatherError{fmt::format("{}: longer than 64 MB, no weather file is", file.string())});
    std::ifstream in(file, std::ios::binary);
    const std::string text{std::istreambuf_iterator<char>(in), {}};
    if (in.bad()) return std::unexpected(WeatherError{fmt::format("{}: cannot be read", file.string())});
    return read_weather(text, file.filename().string());
}

}  // namespace amphora::weather

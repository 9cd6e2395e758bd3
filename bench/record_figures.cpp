// What the record costs: size against the entropy of the signal, speed of writing and reading, charts; peers beside it.
// scripts/bench-record runs this and the peer that is a server.
#include <fmt/core.h>

#include <CLI/CLI.hpp>
#include <filesystem>
#include <iostream>

#include "bench/entropy.hpp"
#include "bench/record_peers.hpp"
#include "bench/stopwatch.hpp"
#include "core/ledger/block.hpp"
#include "io/record/derive.hpp"
#include "io/record/merger.hpp"
#include "io/record/reader.hpp"

namespace amphora::bench {
namespace {

constexpr std::int64_t begin_us = 1'704'067'200'000'000;  // 2024-01-01T00:00:00Z
constexpr std::int64_t year = 365 * 86400;                // readings

struct Log {
    std::vector<Values> values;
    double all_knowing = 0.0;
    double simple_models = 0.0;
};

Log make_log(const MeterNoise& meter, std::int64_t readings) {
    Signal signal(meter, 1);
    EntropyBounds bounds(meter);
    Log log;
    log.values.reserve(static_cast<std::size_t>(readings));
    for (std::int64_t i = 0; i < readings; ++i) {
        const SignalStep step = signal.next();
        bounds.push(step);
        log.values.push_back({step.value[0], step.value[1], step.value[2]});
    }
    log.all_knowing = bounds.all_knowing();
    log.simple_models = bounds.simple_models();
    return log;
}

/// Readings `from` to before `to` of the log as the meter gives them, `years` years later.
std::vector<Reading> readings_of(const Log& log, const MeterNoise& meter, std::size_t from, std::size_t to,
                                 std::int64_t years = 0) {
    std::vector<Reading> readings;
    readings.reserve(to - from);
    for (std::size_t i = from; i < to; ++i) {
        const auto& v = log.values[i];
        readings.push_back({Instant{begin_us + (years * year + static_cast<std::int64_t>(i)) * 1'000'000},
                            Ampere(static_cast<double>(v[0]) / meter.current_per_ampere),
                            Volt(static_cast<double>(v[1]) / meter.voltage_per_volt),
                            Celsius(static_cast<double>(v[2]) / meter.temperature_per_degree)});
    }
    return readings;
}

template <class T>
T must(record::Result<T> result) {
    if (!result) throw std::runtime_error(result.error().message);
    if constexpr (!std::is_void_v<T>) return std::move(*result);
}

/// Adds `years` years to the record from memory, in batches; seconds that the record took for it.
double fill(const std::filesystem::path& file, const Log& log, const MeterNoise& meter, std::int64_t years) {
    constexpr std::size_t batch = std::size_t{1} << 18U;
    auto merger = must(record::Merger::open(file, record::LocalDays::utc()));
    double seconds = 0.0;
    for (std::int64_t y = 0; y < years; ++y)
        for (std::size_t i = 0; i < log.values.size(); i += batch) {
            auto readings = readings_of(log, meter, i, std::min(i + batch, log.values.size()), y);
            seconds += seconds_of([&] { must(merger.add(std::move(readings))); });
        }
    return seconds + seconds_of([&] { must(merger.finish()); });
}

void print_codec(const Log& log, const MeterNoise& meter) {
    const std::size_t count = log.values.size() / ledger::block_capacity * ledger::block_capacity / 8;
    const auto readings = readings_of(log, meter, 0, count);
    std::vector<std::vector<std::uint8_t>> blocks;
    const double encode = seconds_of([&] {
        for (std::size_t i = 0; i < count; i += ledger::block_capacity)
            blocks.push_back(
                ledger::encode_block(std::span(readings).subspan(i, std::min(ledger::block_capacity, count - i))));
    });
    ledger::Columns columns;
    const double decode = median_seconds(5, [&] {
        for (const auto& b : blocks)
            if (!ledger::decode_block(b, columns)) throw std::runtime_error("a block does not decode");
    });
    fmt::print("blocks in memory: encoded at {:.1f}, decoded at {:.1f} M readings/s\n",
               static_cast<double>(count) / encode / 1e6, static_cast<double>(count) / decode / 1e6);
}

std::int64_t bytes_of(const std::filesystem::path& file, const char* what) {
    const record::Database database(file, record::Access::read);
    return database.number(what);
}

void print_size(const std::filesystem::path& file, const Log& log, double seconds) {
    const auto n = static_cast<double>(log.values.size());
    const auto whole = static_cast<double>(std::filesystem::file_size(file));
    const auto rollups = static_cast<double>(bytes_of(
        file, "SELECT sum(pgsize) FROM dbstat WHERE name IN ('rollup', 'sqlite_autoindex_rollup_1', 'derived')"));
    const double readings = (whole - rollups) / n;
    fmt::print(
        "the record: {:.4f} bytes a reading, rollups and what is derived apart ({:.1f} MB; those {:.1f} MB more)\n",
        readings, (whole - rollups) / 1e6, rollups / 1e6);
    fmt::print(
        "entropy: {:.4f} for simple models (record {:.3f} times that); {:.4f} for one who knows the level ({:.3f})\n",
        log.simple_models, readings / log.simple_models, log.all_knowing, readings / log.all_knowing);
    fmt::print("appended from memory at {:.1f} M readings/s, rollups included, synced\n", n / seconds / 1e6);
}

void print_reading(const std::filesystem::path& file, std::int64_t years) {
    const auto reader = must(record::Reader::open(file));
    const record::Span all = *reader.extent();
    const auto chart = [&](record::Span span) {
        return 1e3 * median_seconds(7, [&] {
                   if (must(reader.chart(span, 1000)).buckets.size() < 900) throw std::runtime_error("too few buckets");
               });
    };
    const std::int64_t day = 86'400'000'000;
    const record::Span quarter{begin_us + 40 * day, begin_us + 131 * day};
    fmt::print(
        "1000 buckets of lowest, mean, highest of three quantities: {} years {:.2f} ms, a quarter of a year {:.2f} "
        "ms\n",
        years, chart(all), chart(quarter));
    std::size_t seen = 0;
    const double raw = median_seconds(7, [&] {
        must(reader.visit({begin_us + 100 * day, begin_us + 101 * day},
                          [&](const ledger::Columns&, std::size_t i, std::size_t end) { seen += end - i; }));
    });
    fmt::print("a raw day ({} readings): {:.2f} ms\n", seen / 7, raw * 1e3);
    seen = 0;
    const double whole = seconds_of([&] {
        must(reader.visit({begin_us, begin_us + year * 1'000'000},
                          [&](const ledger::Columns&, std::size_t i, std::size_t end) { seen += end - i; }));
    });
    fmt::print("a year read from the file: {:.1f} M readings/s\n", static_cast<double>(seen) / whole / 1e6);
}

void print_rederive(const std::filesystem::path& file) {
    record::Origin origin{System{}, "bench"};
    origin.system.battery.full = {Volt(14.2), Ampere(5.0), Second(600.0)};
    const double rollups = seconds_of([&] { must(record::begin_afresh(file, record::LocalDays::utc())); });
    const double estimates = seconds_of([&] { must(record::derive(file, origin, record::LocalDays::utc(), {})); });
    fmt::print("a year rederived in {:.2f} s: rollups {:.2f}, estimates and hindsight {:.2f}\n", rollups + estimates,
               rollups, estimates);
}

void print_peers(const std::filesystem::path& folder, const Log& log) {
    const auto n = static_cast<double>(log.values.size());
    const auto line = [&](const char* what, const Kept& kept) {
        fmt::print("{}: {:.3f} bytes a reading, {:.2f} times the simple models; {:.1f} M readings/s\n", what,
                   static_cast<double>(kept.bytes) / n, static_cast<double>(kept.bytes) / n / log.simple_models,
                   n / kept.seconds / 1e6);
    };
    line("differences, zstd 3", keep_as_deltas(folder / "deltas", log.values, 3));
    line("differences, zstd 9", keep_as_deltas(folder / "deltas", log.values, 9));
    line("SQLite rows", keep_as_rows(folder / "rows", log.values));
    fmt::print("SQLite rows: 1000 buckets of a quarter {:.0f} ms, a raw day {:.1f} ms\n",
               1e3 * chart_of_rows(folder / "rows", 40 * 86400, 131 * 86400),
               1e3 * day_of_rows(folder / "rows", 100 * 86400));
    for (const char* name : {"deltas", "rows"}) std::filesystem::remove(folder / name);
}

/// The year as JSON lines for the import of a time-series store: an hour of one quantity to a line.
void print_feed(const Log& log, const MeterNoise& meter) {
    constexpr const char* names[] = {"current", "voltage", "temperature"};
    const int scales[] = {meter.current_per_ampere, meter.voltage_per_volt, meter.temperature_per_degree};
    std::string text;
    for (std::size_t i = 0; i < log.values.size(); i += 3600) {
        const std::size_t end = std::min(i + 3600, log.values.size());
        for (std::size_t q = 0; q < 3; ++q) {
            text = fmt::format("{{\"metric\":{{\"__name__\":\"{}\"}},\"values\":[", names[q]);
            for (std::size_t k = i; k < end; ++k)
                text += fmt::format("{}{}", k == i ? "" : ",", static_cast<double>(log.values[k][q]) / scales[q]);
            text += "],\"timestamps\":[";
            for (std::size_t k = i; k < end; ++k)
                text += fmt::format("{}{}", k == i ? "" : ",", begin_us / 1000 + static_cast<std::int64_t>(k) * 1000);
            text += "]}\n";
            std::fwrite(text.data(), 1, text.size(), stdout);
        }
    }
}

void print_all(const std::filesystem::path& folder, const MeterNoise& meter, std::int64_t days, bool plain) {
    const Log log = make_log(meter, days * 86400);
    const auto file = folder / "year.amphora";
    std::filesystem::remove(file);
    const double seconds = fill(file, log, meter, 1);
    print_size(file, log, seconds);
    print_codec(log, meter);
    print_peers(folder, log);
    if (!plain) return;
    print_rederive(file);
    std::filesystem::remove(file);
    const double ten = fill(file, log, meter, 10);
    fmt::print("ten years appended from memory in {:.1f} s; {:.1f} MB\n", ten,
               static_cast<double>(std::filesystem::file_size(file)) / 1e6);
    print_reading(file, 10);
    std::filesystem::remove(file);
}

}  // namespace
}  // namespace amphora::bench

int main(int argc, char** argv) {
    using namespace amphora::bench;
    CLI::App program("What the record costs");
    std::filesystem::path folder = std::filesystem::temp_directory_path();
    std::int64_t days = 365;
    bool feed = false;
    program.add_option("--folder", folder, "where the files go meanwhile");
    program.add_option("--days", days, "length of the log");
    program.add_flag("--feed", feed, "print the log for a time-series store instead");
    CLI11_PARSE(program, argc, argv);
    if (feed) {
        print_feed(make_log(plain_meter, days * 86400), plain_meter);
        return 0;
    }
    fmt::print("Times are processor time of one core.\n");
    fmt::print("== a plain meter (10 mA, 10 mV, 0.1 degree), {} days at 1 Hz\n", days);
    print_all(folder, plain_meter, days, true);
    fmt::print("== a fine meter (1 mA, 1 mV, 0.1 degree), {} days at 1 Hz\n", days);
    print_all(folder, fine_meter, days, false);
    return 0;
}

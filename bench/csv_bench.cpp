// Readings from CSV: what a line costs. Goal: 80 ns a line or less.
#include <benchmark/benchmark.h>
#include <fmt/format.h>

#include <cmath>
#include <string>

#include "io/source/csv_reader.hpp"

namespace amphora {
namespace {

// A day at 1 Hz with the digits that a meter gives.
std::string day_of_lines(bool calendar) {
    std::string text = "time_utc,current_a,voltage_v,temperature_c\n";
    for (int second = 0; second < 86'400; ++second) {
        const double phase = second * 0.01;
        if (calendar)
            fmt::format_to(std::back_inserter(text), "2026-05-01T{:02}:{:02}:{:02}Z", second / 3600, second / 60 % 60,
                           second % 60);
        else
            fmt::format_to(std::back_inserter(text), "{}", 1'777'593'600 + second);
        fmt::format_to(std::back_inserter(text), ",{:.2f},{:.2f},{:.1f}\n", 40.0 * std::sin(phase),
                       13.2 + 0.1 * std::sin(phase * 3), 18.0 + 4.0 * std::sin(phase / 50));
    }
    return text;
}

void read_lines(benchmark::State& state, const std::string& text) {
    std::size_t readings = 0;
    while (state.KeepRunning()) {
        auto reader = source::CsvReader::open(source::memory_input(text), {});
        for (;;) {
            const auto batch = reader->next();
            if (batch->empty()) break;
            benchmark::DoNotOptimize(batch->back());
            readings += batch->size();
        }
    }
    state.SetItemsProcessed(static_cast<std::int64_t>(readings));
    state.SetBytesProcessed(static_cast<std::int64_t>(state.iterations() * text.size()));
    state.counters["per_line"] =
        benchmark::Counter(static_cast<double>(readings), benchmark::Counter::kIsRate | benchmark::Counter::kInvert);
}

void unix_seconds(benchmark::State& state) { read_lines(state, day_of_lines(false)); }
void rfc3339(benchmark::State& state) { read_lines(state, day_of_lines(true)); }

BENCHMARK(unix_seconds)->Unit(benchmark::kMillisecond);
BENCHMARK(rfc3339)->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace amphora

// The pipeline's cost per reading, on one core: forward alone, and with hindsight kept and asked for at the end.
#include <benchmark/benchmark.h>

#include <map>
#include <vector>

#include "core/pipeline/pipeline.hpp"
#include "twin/draw.hpp"

namespace amphora {
namespace {

struct Log {
    System system;
    std::vector<Reading> readings;
};

/// Thirty days of one van, a reading each `seconds`.
const Log& log_of(Chemistry chemistry, double seconds) {
    static std::map<std::pair<Chemistry, double>, Log> logs;
    Log& log = logs[{chemistry, seconds}];
    if (log.readings.empty()) {
        twin::Van van(twin::draw_van({.seed = 5, .chemistry = chemistry, .interval = Second(seconds)}));
        log.system = van.system();
        for (long k = 0; k < static_cast<long>(30 * 86400 / seconds); ++k)
            for (const Reading& r : van.step()) log.readings.push_back(r);
    }
    return log;
}

void run(benchmark::State& state, Chemistry chemistry, bool hindsight) {
    const Log& log = log_of(chemistry, static_cast<double>(state.range(0)));
    for ([[maybe_unused]] auto _ : state) {
        Pipeline pipeline(log.system, {.keep_for_hindsight = hindsight});
        for (const Reading& r : log.readings) pipeline.push(r);
        if (hindsight) benchmark::DoNotOptimize(pipeline.hindsight());
        benchmark::DoNotOptimize(pipeline.now());
    }
    state.counters["per_reading"] =
        benchmark::Counter(static_cast<double>(log.readings.size()),
                           benchmark::Counter::kIsIterationInvariantRate | benchmark::Counter::kInvert);
}

BENCHMARK_CAPTURE(run, lfp_forward, Chemistry::lfp, false)->Arg(1)->Arg(5)->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(run, lfp_hindsight, Chemistry::lfp, true)->Arg(1)->Arg(5)->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(run, agm_forward, Chemistry::agm, false)->Arg(1)->Arg(5)->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(run, agm_hindsight, Chemistry::agm, true)->Arg(1)->Arg(5)->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace amphora

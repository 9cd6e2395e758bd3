#include "app/demo_van.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "twin/blue_heron.hpp"

namespace amphora::app {
namespace {

constexpr Second longest_step(60);                           // a reading stands for no more than this
constexpr std::int64_t remembered_us = 45 * ledger::day_us;  // what an estimate needs to know of the past

}  // namespace

DemoVan::DemoVan(std::uint64_t seed, Instant start, System system)
    : van_(twin::blue_heron(seed, start)), system_(std::move(system)), pipeline_(system_), last_(start) {}

void DemoVan::live_until(Instant end, const std::function<void(const Reading&)>& taken) {
    while (van_.truth().at + van_.spec().interval <= end) {
        for (const Reading& reading : van_.step()) {
            take(reading);
            if (taken) taken(reading);
        }
    }
}

void DemoVan::describe(const System& system, const record::Reader& reader) {
    system_ = system;
    pipeline_ = Pipeline(system_);
    full_.reset();
    const auto extent = reader.extent();
    if (!extent) return;
    (void)reader.visit({extent->to_us - remembered_us, extent->to_us},
                       [this](const ledger::Columns& columns, std::size_t i, std::size_t end) {
                           for (; i < end; ++i) take(columns.reading(i));
                       });
}

void DemoVan::take(const Reading& reading) {
    const Second step = std::clamp(reading.at - last_, Second(0), longest_step);
    last_ = reading.at;
    if (full_ && reading.current.known()) {
        const AmpHour moved = reading.current * step;
        (moved > AmpHour(0) ? full_->since.in : full_->since.out) += AmpHour(std::abs(moved.value()));
    }
    if (!pipeline_.push(reading)) return;
    const LastEvidence evidence = pipeline_.now().evidence;
    if (evidence.kind != Evidence::full || (full_ && full_->at == evidence.at)) return;
    full_ = web::SinceFull{evidence.at, {}};
}

}  // namespace amphora::app

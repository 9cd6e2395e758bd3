#include "core/ledger/rollup.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

namespace amphora::ledger {
namespace {

constexpr double largest = 1e10;  // 10,000 A, V or degrees: what lies beyond is counted as this

/// Millionths, to the nearest; ties go to even.
std::int64_t to_micro(double value) {
    constexpr double shift = 0x1.8p52;
    return static_cast<std::int64_t>((std::clamp(value * 1e6, -largest, largest) + shift) - shift);
}

double from_micro(std::int64_t micro) { return static_cast<double>(micro) / 1e6; }

/// Microwatts, towards zero.
std::int64_t power_of(std::int64_t micro_ampere, std::int64_t micro_volt) {
    std::int64_t product = 0;
    if (!__builtin_mul_overflow(micro_ampere, micro_volt, &product)) return product / 1'000'000;
    return static_cast<std::int64_t>(static_cast<Wide>(micro_ampere) * micro_volt / 1'000'000);
}

void add_if_known(Range& range, double value) {
    if (std::isfinite(value)) range.add(to_micro(value));
}

}  // namespace

void Range::add(std::int64_t micro) {
    ++known;
    low = std::min(low, micro);
    high = std::max(high, micro);
    sum += micro;
}

void Range::merge(const Range& other) {
    known += other.known;
    low = std::min(low, other.low);
    high = std::max(high, other.high);
    sum += other.sum;
}

double Range::lowest() const { return known > 0 ? from_micro(low) : std::numeric_limits<double>::quiet_NaN(); }
double Range::highest() const { return known > 0 ? from_micro(high) : std::numeric_limits<double>::quiet_NaN(); }
double Range::mean() const {
    return known > 0 ? static_cast<double>(sum) / (1e6 * static_cast<double>(known))
                     : std::numeric_limits<double>::quiet_NaN();
}

void Rollup::merge(const Rollup& other) {
    readings += other.readings;
    covered_us += other.covered_us;
    current.merge(other.current);
    voltage.merge(other.voltage);
    temperature.merge(other.temperature);
    charge_in += other.charge_in;
    charge_out += other.charge_out;
    energy_in += other.energy_in;
    energy_out += other.energy_out;
}

void add_values(Rollup& span, const Reading& reading) {
    ++span.readings;
    add_if_known(span.current, reading.current.value());
    add_if_known(span.voltage, reading.voltage.value());
    add_if_known(span.temperature, reading.temperature.value());
}

Rollup& MinuteRollups::minute_of(std::int64_t us) {
    const std::int64_t start = floor_to(us, minute_us);
    if (minutes_.empty() || minutes_.back().start_us < start) {
        minutes_.emplace_back().start_us = start;
        return minutes_.back();
    }
    if (minutes_.back().start_us == start) return minutes_.back();
    const auto place = std::ranges::lower_bound(minutes_, start, {}, &Rollup::start_us);
    if (place->start_us == start) return *place;
    Rollup fresh;
    fresh.start_us = start;
    return *minutes_.insert(place, fresh);
}

MinuteRollups::Flow MinuteRollups::flow_of(const Reading& reading) {
    const std::int64_t current = to_micro(reading.current.value());
    return {current, reading.voltage.known() ? power_of(current, to_micro(reading.voltage.value())) : 0};
}

void MinuteRollups::add(Rollup& minute, const Flow& flow, std::int64_t span_us) {
    minute.covered_us += span_us;
    const Wide charge = static_cast<Wide>(std::abs(flow.current)) * span_us;
    const Wide energy = static_cast<Wide>(std::abs(flow.power)) * span_us;
    if (flow.current > 0) {
        minute.charge_in += charge;
        minute.energy_in += energy;
    } else {
        minute.charge_out += charge;
        minute.energy_out += energy;
    }
}

void MinuteRollups::hold(const Reading& reading, std::int64_t until_us) {
    const Flow flow = flow_of(reading);
    for (std::int64_t from = reading.at.us; from < until_us;) {
        const std::int64_t to = std::min(until_us, floor_to(from, minute_us) + minute_us);
        add(minute_of(from), flow, to - from);
        from = to;
    }
}

void MinuteRollups::push(const Reading& reading) {
    // Most readings lie in the newest minute, together with the one before.
    Rollup* const newest = minutes_.empty() ? nullptr : &minutes_.back();
    const auto in_newest = [&](std::int64_t us) {
        return newest != nullptr && us >= newest->start_us && us - newest->start_us < minute_us;
    };
    const bool here = in_newest(reading.at.us);
    if (memory_.last) {
        const Reading& last = *memory_.last;
        const std::int64_t step = reading.at.us - last.at.us;
        const bool in_time = step > 0 && step <= std::max(minute_us, 4 * memory_.step_us);
        if (in_time && last.current.known()) {
            if (here && in_newest(last.at.us))
                add(*newest, flow_of(last), step);
            else
                hold(last, reading.at.us);
        }
        if (step > 0) memory_.step_us = std::min(step, day_us);
    }
    add_values(here ? *newest : minute_of(reading.at.us), reading);
    memory_.last = reading;
}

std::vector<Rollup> MinuteRollups::take() { return std::exchange(minutes_, {}); }

std::vector<Rollup> roll_up(const std::vector<Rollup>& spans, std::int64_t unit) {
    std::vector<Rollup> longer;
    for (const Rollup& span : spans) {
        const std::int64_t start = floor_to(span.start_us, unit);
        if (longer.empty() || longer.back().start_us != start) longer.emplace_back().start_us = start;
        longer.back().merge(span);
    }
    return longer;
}

void merge_spans(std::vector<Rollup>& into, const std::vector<Rollup>& more) {
    std::vector<Rollup> all;
    all.reserve(into.size() + more.size());
    auto a = into.cbegin();
    auto b = more.cbegin();
    while (a != into.cend() || b != more.cend()) {
        if (b == more.cend() || (a != into.cend() && a->start_us < b->start_us)) {
            all.push_back(*a++);
        } else if (a == into.cend() || b->start_us < a->start_us) {
            all.push_back(*b++);
        } else {
            all.push_back(*a++);
            all.back().merge(*b++);
        }
    }
    into = std::move(all);
}

}  // namespace amphora::ledger

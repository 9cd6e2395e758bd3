#include "io/live/plug_source.hpp"

#include <algorithm>
#include <utility>

#include "core/quantity/shown.hpp"
#include "io/source/channel_unit.hpp"

namespace amphora::live {
namespace {

constexpr Second first_plug_pause(1.0);
constexpr Second longest_plug_pause(60.0);

/// Amperes per volt of the meter whose shunt it is.
double amperes_per_volt(const System& system, const std::string& name) {
    for (const Meter& meter : system.meters)
        if (name.empty() || meter.name == name) return 1.0 / (meter.rated_drop / meter.rated_current).value();
    return 1.0;
}

bool has_direction(Measurand measures) {
    return measures == Measurand::current || measures == Measurand::shunt_drop || measures == Measurand::power;
}

PlugChannel plug_channel(const System& system, std::size_t index) {
    const described::Channel& c = system.live.channels[index];
    const source::UnitConversion unit = source::conversion(c.measures, c.unit).value_or(source::UnitConversion{});
    const double sign = has_direction(c.measures) && !c.positive_charging ? -1.0 : 1.0;
    const double size = c.measures == Measurand::shunt_drop ? amperes_per_volt(system, c.whose) : 1.0;
    const double k = sign * size;
    return {index, &c, k * unit.factor * c.scale, k * (unit.factor * c.offset + unit.shift)};
}

}  // namespace

PlugSource::PlugSource(const SourceContext& context)
    : loop_(context.loop),
      clock_(context.clock),
      system_(context.system),
      description_(context.system.live.sources[context.source]),
      timer_(context.loop) {
    for (std::size_t i = 0; i < system_.live.channels.size(); ++i)
        if (system_.live.channels[i].source == context.source) channels_.push_back(plug_channel(system_, i));
}

void PlugSource::start(Sink sink) {
    sink_ = std::move(sink);
    reopen();
}

void PlugSource::stop() {
    sink_ = nullptr;
    ++run_;
    timer_.cancel();
    close();
    health_.state = SourceState::off;
}

void PlugSource::reopen() {
    ++run_;
    health_.state = SourceState::connecting;
    open();
}

void PlugSource::opened() {
    health_.state = SourceState::running;
    if (failed_) ++health_.reconnects;
    failed_ = false;
}

void PlugSource::broken(const std::string& why) {
    if (health_.state == SourceState::off || health_.state == SourceState::waiting) return;
    ++health_.errors;
    health_.trouble = why;
    health_.state = SourceState::waiting;
    failed_ = true;
    ++run_;
    timer_.cancel();
    close();
    timer_.expires_after(clock_.wait(pause_));
    pause_ = std::min(pause_ * 2.0, longest_plug_pause);
    timer_.async_wait([this](boost::system::error_code error) {
        if (!error && health_.state == SourceState::waiting) reopen();
    });
}

void PlugSource::ended(const std::string& why) {
    health_.trouble = why;
    health_.state = SourceState::off;
    ++run_;
    timer_.cancel();
    close();
}

bool PlugSource::take(std::size_t channel, double raw) {
    const PlugChannel& c = channels_[channel];
    const double value = shown(c.factor * raw + c.shift);
    const Measurand as =
        c.description->measures == Measurand::shunt_drop ? Measurand::current : c.description->measures;
    if (!source::plausible(as, value)) {
        refuse();
        return false;
    }
    taken_.push_back({c.index, value, {}});
    return true;
}

void PlugSource::deliver(BootTime at) {
    if (taken_.empty() || !sink_) return taken_.clear();
    if (health_.last_reading && at - *health_.last_reading > description_.patience()) ++health_.gaps;
    health_.last_reading = at;
    ++health_.readings;
    health_.trouble.clear();
    pause_ = first_plug_pause;  // only what gives readings counts as well again
    for (LiveSample& sample : taken_) sample.at = at;
    const std::vector<LiveSample> samples = std::exchange(taken_, {});
    sink_(samples);
    if (taken_.empty()) {  // keeps the room for the next time
        taken_ = samples;
        taken_.clear();
    }
}

void PlugSource::every_interval(std::function<void()> task) { ask_after(clock_.now(), task, run_); }

void PlugSource::ask_after(BootTime due, const std::function<void()>& task, std::uint64_t run) {
    const BootTime now = clock_.now();
    timer_.expires_after(clock_.wait(std::max(due - now, Second(0.0))));
    timer_.async_wait([this, due, task, run](boost::system::error_code error) {
        if (error || run != run_) return;
        task();
        if (run != run_) return;
        // Late by more than an interval (a sleep): goes on from now instead of making good what was missed.
        const BootTime next = due + description_.interval;
        ask_after(std::max(next, clock_.now()), task, run);
    });
}

}  // namespace amphora::live

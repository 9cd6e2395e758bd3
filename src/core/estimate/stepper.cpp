#include "core/estimate/stepper.hpp"

#include <algorithm>
#include <cmath>

namespace amphora {
namespace {

constexpr double step_s = 60.0;
constexpr double shortest_gap_s = 20.0;
constexpr double longest_gap_s = 10.0 * 365.25 * 86400.0;  // a jump beyond ten years is a wrong clock, not a gap
constexpr double departures_last_h = 4.0;
constexpr double voltage_settles_s = 300.0;
constexpr int stuck_after = 720;

}  // namespace

Stepper::Stepper(const Battery& battery)
    : full_(battery.full),
      capacity_ah_(battery.design_capacity.value()),
      volt_limit_(10.0 * battery.cells_in_series),
      ampere_limit_(100.0 * battery.design_capacity.value()) {}

std::optional<Step> Stepper::push(const Reading& reading) {
    ++oddities_.readings;
    if (!place(reading)) return std::nullopt;
    watch_stuck(reading);
    if (open_us_ < static_cast<std::int64_t>(step_s * 1e6) && open_.unknown_s == 0.0F) return std::nullopt;
    return close();
}

/// Puts the reading in time. A repeated time is dropped, an earlier one too (the clock was set back: the reading has no
/// place), a later one than usual is a gap, in which the current is not known.
bool Stepper::place(const Reading& reading) {
    if (!started_) {
        started_ = true;
        last_at_ = reading.at;
        latest_ = reading;
        return false;
    }
    if (reading.at.us == last_at_.us) {
        ++oddities_.duplicate_time;
        return false;
    }
    if (reading.at.us < last_at_.us) {
        ++oddities_.backward_time;
        // Once or twice is disorder; a clock that stays back starts a new line of time.
        if (++same_back_ < 10) return false;
    }
    same_back_ = 0;
    const std::int64_t span_us = reading.at.us - last_at_.us;
    const double seconds = span_us > 0 ? static_cast<double>(span_us) / 1e6 : 0.0;
    last_at_ = reading.at;
    latest_.at = reading.at;
    open_us_ += std::max<std::int64_t>(span_us, 0);
    count(reading, seconds);
    return true;
}

void Stepper::count(const Reading& reading, double seconds) {
    double current = reading.current.value();
    double volt = reading.voltage.value();
    if (std::isfinite(current) && std::abs(current) > ampere_limit_) {
        current = NAN;
        ++oddities_.out_of_range;
    }
    if (std::isfinite(volt) && (volt < 0.0 || volt > volt_limit_)) {
        volt = NAN;
        ++oddities_.out_of_range;
    }
    if (!std::isfinite(current)) ++oddities_.current_missing;
    if (!std::isfinite(volt)) ++oddities_.voltage_missing;
    if (!reading.temperature.known()) ++oddities_.temperature_missing;

    voltage_age_s_ += seconds;
    const bool gap = usual_s_ > 0.0 && seconds > std::max(5.0 * usual_s_, shortest_gap_s);
    if (gap) {
        ++oddities_.gaps;
        oddities_.gap_time += Second(seconds);
    } else {
        usual_s_ = usual_s_ == 0.0 ? seconds : usual_s_ + 0.02 * (seconds - usual_s_);
    }
    if (gap || !std::isfinite(current)) {
        const double hours = std::min(seconds, longest_gap_s) / seconds_per_hour;
        (typical_a_ > 0.0 ? open_.charge_in_ah : open_.charge_out_ah) +=
            static_cast<float>(std::abs(typical_a_) * hours);
        open_.unknown_s += static_cast<float>(seconds);
        open_.unknown_var += static_cast<float>(unknown_variance(unknown_h_ + hours) - unknown_variance(unknown_h_));
        unknown_h_ += hours;
        full_held_s_ = voltage_held_s_ = 0.0;
        looked_full_ = false;
    } else {
        unknown_h_ = 0.0;
        const double charge = current * seconds / seconds_per_hour;
        (charge > 0.0 ? open_.charge_in_ah : open_.charge_out_ah) += static_cast<float>(std::abs(charge));
        square_seconds_ += current * current * seconds;
        known_time_ += seconds;
        latest_.current = Ampere(current);
        const double weight = std::min(seconds / (7.0 * 86400.0), 0.1);
        typical_a_ += weight * (current - typical_a_);
        typical_square_ += weight * (current * current - typical_square_);
        if (std::isfinite(volt)) {
            volt_seconds_ += volt * seconds;
            volt_time_ += seconds;
            latest_.voltage = Volt(volt);
            voltage_age_s_ = 0.0;
        }
        watch_full(seconds);
    }
    if (reading.temperature.known() && std::abs(reading.temperature.value()) < 100.0)
        latest_.temperature = reading.temperature;
}

/// Variance of the charge that flowed in so many hours of which nothing is known: the usual current was assumed, with
/// the spread that it usually has, but no less than three hundredths of the capacity per hour, for what happens in a
/// gap may be what seldom happens (a day on the mains). Departures last about four hours; integral of an exponential
/// autocorrelation.
double Stepper::unknown_variance(double hours) const {
    const double least = 0.03 * capacity_ah_;
    const double spread = std::max(typical_square_ - typical_a_ * typical_a_, least * least);
    const double spans = hours / departures_last_h;
    const double shape = spans > 1e-6 ? 2.0 / spans * (1.0 - (1.0 - std::exp(-spans)) / spans) : 1.0;
    return spread * hours * hours * std::min(shape, 1.0);
}

/// The charger holds its voltage; the current then is what the battery still takes. Held long enough with a small
/// current, that is full. A little outwards is let pass: meters have an offset. A voltage that is no longer measured
/// shows nothing, and what was before the first reading that looks full is not known.
void Stepper::watch_full(double seconds) {
    const double current = latest_.current.value();
    const bool seen = voltage_age_s_ <= std::max(5.0 * usual_s_, shortest_gap_s);
    const bool holds = seen && latest_.voltage >= full_.voltage && current >= -0.003 * capacity_ah_;
    if (!holds) {
        voltage_held_s_ = full_held_s_ = 0.0;
        looked_full_ = false;
        return;
    }
    if (voltage_held_s_ == 0.0) tail_a_ = current;
    voltage_held_s_ += seconds;
    tail_a_ += std::min(seconds / 120.0, 1.0) * (current - tail_a_);
    const bool looks_full = current <= full_.current_below.value();
    full_held_s_ = looks_full && looked_full_ ? full_held_s_ + seconds : 0.0;
    looked_full_ = looks_full;
}

void Stepper::watch_stuck(const Reading& reading) {
    const bool same =
        reading.current == seen_.current && reading.voltage == seen_.voltage && std::abs(reading.current.value()) > 0.0;
    same_count_ = same ? same_count_ + 1 : 0;
    if (same_count_ == stuck_after) ++oddities_.stuck;
    seen_ = reading;
}

Step Stepper::close() {
    Step step = open_;
    step.length_ms = static_cast<std::uint32_t>(std::min<std::int64_t>(open_us_ / 1000, 0xFFFFFFFFLL));
    step.voltage_v = volt_time_ > 0.0 ? static_cast<float>(volt_seconds_ / volt_time_) : NAN;
    if (known_time_ > 0.0) {
        const double mean = step.net_ah() * seconds_per_hour / std::max(known_time_, 1e-9);
        step.current_spread_a =
            static_cast<float>(std::sqrt(std::max(square_seconds_ / known_time_ - mean * mean, 0.0)));
    }
    step.temperature_c = latest_.temperature.known() ? static_cast<float>(latest_.temperature.value()) : NAN;
    step.tail_a = voltage_held_s_ >= voltage_settles_s ? static_cast<float>(std::max(tail_a_, 0.0)) : -1.0F;
    step.full = full_held_s_ >= full_.held_for.value() && full_held_s_ > 0.0;
    open_us_ %= 1000;  // what is shorter than a step's resolution; a gap too long for its field is cut, not carried on
    open_ = {};
    volt_seconds_ = volt_time_ = square_seconds_ = known_time_ = 0.0;
    return step;
}

}  // namespace amphora

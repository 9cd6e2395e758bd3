#include "twin/van.hpp"

#include <algorithm>
#include <cmath>

namespace amphora::twin {
namespace {

constexpr Second longest_part{10};
constexpr Second one_minute{60};

int parts_of(Second interval) { return std::max(1, static_cast<int>(std::ceil(interval / longest_part - 1e-9))); }

/// Each part of the van has a source of chance of its own, numbered.
Random source(std::uint64_t seed, std::uint64_t part) { return Random(seed * 0x100000001b3ULL + part); }

}  // namespace

Van::Van(const VanSpec& spec)
    : spec_(spec),
      parts_(parts_of(spec.interval)),
      part_(spec.interval / parts_),
      weather_(spec.weather, source(spec.seed, 1)),
      household_(spec.household, source(spec.seed, 2)),
      itinerary_(spec.itinerary, spec.household.weekend, spec.household.wander, source(spec.seed, 3)),
      shunt_(spec.shunt, source(spec.seed, 4)),
      bank_(spec.bank, spec.start_charge, part_),
      full_at_(spec.start),
      next_minute_(spec.start) {
    for (const auto& c : spec.chargers) chargers_.push_back({Charger(c)});
    connected_.reserve(chargers_.size());
    weather_.advance(spec.start);
    cell_temperature_ = weather_.air().value();
    truth_.at = spec.start;
    truth_.capacity = spec.bank.capacity;
    truth_.gain = spec.shunt.gain;
    truth_.state_of_charge = spec.start_charge;
    truth_.voltage = bank_.voltage();
}

void Van::minute(Instant now) {
    next_minute_ = now + one_minute;
    weather_.advance(now);
    if (weather_.day() != day_) {
        day_ = weather_.day();
        plan_ = itinerary_.plan(day_, bank_.state_of_charge(), spec_.system.battery.reserve,
                                (now - full_at_).value() / 86400);
        for (auto& c : chargers_)
            if (c.charger.spec().source == Source::sun) c.charger.begin();
    }
    const double room = plan_.home ? std::max(weather_.air().value(), spec_.warm_room.value()) : weather_.air().value();
    cell_temperature_ += (room - cell_temperature_) * std::min(1.0, to_hours(one_minute) / spec_.battery_lag);
    bank_.set_temperature(Celsius(cell_temperature_));

    const bool thrifty = bank_.state_of_charge() < spec_.system.battery.reserve + Fraction(0.05);
    household_.minute(weather_.hour(), plan_.home, thrifty, plan_.eagerness, weather_.air());
    shunt_.minute(now, Celsius(cell_temperature_));

    const Volt v = bank_.voltage();
    power_to_current_ = 1 / std::max(v.value(), 0.5 * spec_.system.nominal_voltage.value());
    frost_ = spec_.bank.no_charge_in_frost && cell_temperature_ < 0;
    if (v < spec_.bank.cut_low) cut_off_ = true;
    if (v > spec_.bank.reconnect) cut_off_ = false;
    const Fraction z = bank_.state_of_charge();
    if (z > Fraction(0.985)) full_at_ = now;
    if (z < spec_.shed_below) shed_ = true;
    if (z > spec_.shed_below + Fraction(0.1)) shed_ = false;
    run_chargers();
}

void Van::run_chargers() {
    const double hour = weather_.hour();
    const Volt v = bank_.voltage();
    connected_.clear();
    for (std::size_t k = 0; k < chargers_.size(); ++k) {
        auto& c = chargers_[k];
        const auto& s = c.charger.spec();
        Ampere can = s.limit;
        bool on = false;
        if (s.source == Source::sun) {
            can = Ampere(s.panels.value() * s.yield * weather_.sunshine() / 1000 * plan_.light * power_to_current_);
            on = can > Ampere(0.05);
        } else if (s.source == Source::shore) {
            on = plan_.shore && hour >= plan_.shore_from && hour < plan_.shore_to;
        } else {
            on = hour >= plan_.drive_from && hour < plan_.drive_to;
        }
        if (on && !c.on && s.source != Source::sun) c.charger.begin();
        c.on = on;
        const Ampere gave(c.steps > 0 ? c.gave / c.steps : 0);
        c.charger.minute(on ? can : Ampere(0), v, gave, c.regulated, Celsius(cell_temperature_));
        c.regulated = false;
        c.gave = 0;
        c.steps = 0;
        if (on && !frost_ && v < spec_.bank.cut_high && c.charger.available().value() > 0) connected_.push_back(k);
    }
    std::sort(connected_.begin(), connected_.end(), [this](std::size_t a, std::size_t b) {
        return chargers_[a].charger.target() < chargers_[b].charger.target();
    });
}

/// The current into the battery once every charger has found its place: those whose target lies above the terminal
/// voltage give all they can, the one whose target is met gives what holds it, those below give nothing.
Ampere Van::settle(Ampere load) {
    Ampere all(0);
    for (const auto k : connected_) all += chargers_[k].charger.available();
    Ampere others = all;
    for (const auto k : connected_) {
        auto& c = chargers_[k];
        const Ampere whole = others - load;
        others -= c.charger.available();
        const Ampere held = bank_.current_to_reach(c.charger.target(), c.charger.spec().cable);
        if (whole <= held) {
            c.gave += c.charger.available().value();
            ++c.steps;
            return whole;
        }
        c.regulated = true;
        ++c.steps;
        const Ampere without = others - load;
        if (held > without) {
            c.gave += (held - without).value();
            return held;
        }
    }
    return -load;
}

Ampere Van::small_step(Instant now) {
    constexpr Watt when_all_is_off{0.5};
    const Watt power = cut_off_ ? Watt(0) : shed_ ? when_all_is_off : household_.power(now);
    const Ampere load(power.value() * power_to_current_);
    Ampere current = connected_.empty() ? -load : settle(load);
    // An empty battery gives nothing more: the protection opens.
    if (current.value() < 0 && bank_.state_of_charge().value() <= 0) {
        current = Ampere(0);
        cut_off_ = true;
    }
    bank_.step(current);
    return current;
}

std::span<const Reading> Van::step() {
    const Instant begin = truth_.at;
    double sum = 0;
    for (int k = 0; k < parts_; ++k) {
        const Instant now = begin + part_ * k;
        if (now >= next_minute_) minute(now);
        sum += small_step(now).value();
    }
    truth_.at = begin + spec_.interval;
    truth_.current = Ampere(sum / parts_);
    truth_.state_of_charge = bank_.state_of_charge();
    truth_.voltage = bank_.voltage();
    truth_.temperature = Celsius(cell_temperature_);
    truth_.offset = shunt_.offset();
    truth_.stored = bank_.stored();
    if (shunt_.in_gap(truth_.at)) return {};
    lines_[0] = shunt_.read(truth_.at, truth_.current, truth_.voltage, truth_.temperature);
    if (!shunt_.repeats()) return {lines_.data(), 1};
    lines_[1] = lines_[0];
    return lines_;
}

}  // namespace amphora::twin

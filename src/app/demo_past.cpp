#include "app/demo_past.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace amphora::app {
namespace {

constexpr float unknown = std::numeric_limits<float>::quiet_NaN();
constexpr double longest_h = 60.0 / 3600.0;  // a reading stands for no more than this: a gap is no measurement

// A mean over what is known.
class Mean {
public:
    void add(float value, double weight) {
        if (!std::isfinite(value)) return;
        sum_ += static_cast<double>(value) * weight;
        weight_ += weight;
    }
    [[nodiscard]] double value() const { return weight_ > 0 ? sum_ / weight_ : std::nan(""); }

private:
    double sum_ = 0, weight_ = 0;
};

struct Gathered {
    Mean state_of_charge, state_of_charge_sd, hindsight, hindsight_sd, current, voltage;
    double low = std::numeric_limits<double>::infinity();
    double high = -std::numeric_limits<double>::infinity();
    double in_ah = 0, out_ah = 0;

    template <class Piece>
    void add(const Piece& piece) {
        const double hours = piece.hours;
        state_of_charge.add(piece.state_of_charge, 1);
        state_of_charge_sd.add(piece.state_of_charge_sd, 1);
        hindsight.add(piece.hindsight, 1);
        hindsight_sd.add(piece.hindsight_sd, 1);
        voltage.add(piece.voltage, 1);
        if (!(hours > 0)) return;
        current.add(piece.current, hours);
        low = std::min(low, static_cast<double>(piece.current_low));
        high = std::max(high, static_cast<double>(piece.current_high));
        const double moved = static_cast<double>(piece.current) * hours;
        (moved > 0 ? in_ah : out_ah) += std::abs(moved);
    }

    [[nodiscard]] web::Bucket bucket(Instant from) const {
        web::Bucket b;
        b.from = from;
        b.state_of_charge = {Fraction(state_of_charge.value()), Fraction(state_of_charge_sd.value())};
        b.hindsight = {Fraction(hindsight.value()), Fraction(hindsight_sd.value())};
        b.current_low = std::isfinite(low) ? Ampere(low) : Ampere::missing();
        b.current = Ampere(current.value());
        b.current_high = std::isfinite(high) ? Ampere(high) : Ampere::missing();
        b.voltage = Volt(voltage.value());
        b.moved = {AmpHour(in_ah), AmpHour(out_ah)};
        return b;
    }
};

}  // namespace

void DemoPast::read(const Reading& reading) {
    const double hours = started_ ? std::min(to_hours(reading.at - last_).value(), longest_h) : 0.0;
    last_ = reading.at;
    started_ = true;
    if (!(hours > 0)) return;
    if (reading.voltage.known()) {
        volt_hours_ += reading.voltage.value() * hours;
        volts_known_h_ += hours;
    }
    if (!reading.current.known()) return;
    const double current = reading.current.value();
    low_ = hours_ > 0 ? std::min(low_, current) : current;
    high_ = hours_ > 0 ? std::max(high_, current) : current;
    amp_hours_ += current * hours;
    hours_ += hours;
}

void DemoPast::close(const Estimate& e) {
    const bool read = hours_ > 0;
    pieces_.push_back({.end_us = e.at.us,
                       .hours = static_cast<float>(hours_),
                       .state_of_charge = static_cast<float>(e.state_of_charge.mean.value()),
                       .state_of_charge_sd = static_cast<float>(e.state_of_charge.sd.value()),
                       .hindsight = unknown,
                       .hindsight_sd = unknown,
                       .current_low = read ? static_cast<float>(low_) : unknown,
                       .current = read ? static_cast<float>(amp_hours_ / hours_) : unknown,
                       .current_high = read ? static_cast<float>(high_) : unknown,
                       .voltage = volts_known_h_ > 0 ? static_cast<float>(volt_hours_ / volts_known_h_) : unknown});
    hours_ = amp_hours_ = volt_hours_ = volts_known_h_ = 0;
}

void DemoPast::look_back(std::span<const Hindsight> steps) {
    auto piece = pieces_.begin();
    for (const Hindsight& step : steps) {
        while (piece != pieces_.end() && piece->end_us < step.at.us) ++piece;
        if (piece == pieces_.end()) return;
        if (piece->end_us != step.at.us) continue;
        piece->hindsight = static_cast<float>(step.state_of_charge.mean.value());
        piece->hindsight_sd = static_cast<float>(step.state_of_charge.sd.value());
    }
}

Instant DemoPast::beginning() const { return pieces_.empty() ? Instant{} : Instant{pieces_.front().end_us}; }

std::vector<DemoPast::Piece>::const_iterator DemoPast::first_after(Instant at) const {
    return std::ranges::upper_bound(pieces_, at.us, {}, &Piece::end_us);
}

std::vector<web::Bucket> DemoPast::series(Instant from, Instant to, int count) const {
    std::vector<web::Bucket> buckets;
    buckets.reserve(static_cast<std::size_t>(count));
    const double width_us = static_cast<double>(to.us - from.us) / count;
    const auto edge = [&](int i) { return Instant{from.us + std::llround(width_us * i)}; };
    auto piece = first_after(from);
    for (int i = 0; i < count; ++i) {
        Gathered gathered;
        for (const Instant end = edge(i + 1); piece != pieces_.end() && piece->end_us <= end.us; ++piece) {
            gathered.add(*piece);
        }
        buckets.push_back(gathered.bucket(edge(i)));
    }
    return buckets;
}

web::Throughput DemoPast::moved_since(Instant from) const {
    Gathered gathered;
    std::for_each(first_after(from), pieces_.end(), [&](const Piece& piece) { gathered.add(piece); });
    return {AmpHour(gathered.in_ah), AmpHour(gathered.out_ah)};
}

}  // namespace amphora::app

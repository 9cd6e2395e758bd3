#include "bench/textbook_van.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace amphora::bench {
namespace {

using Table = std::span<const std::pair<double, double>>;

// S. Sunil, K. Pattipati, B. Balasingam, IEEE Trans. Instrum. Meas. 2025: C/32 curve of a 1.1 Ah cell.
constexpr std::pair<double, double> lfp_rest[] = {
    {0, 2.0102},      {0.0033, 2.4177}, {0.0117, 2.7405}, {0.0267, 2.9299}, {0.0534, 3.0872},
    {0.0885, 3.1942}, {0.2972, 3.2772}, {0.9833, 3.3511}, {0.9950, 3.4180}, {1, 3.5981}};
// Owners' manuals of 12 V absorbed-glass-mat blocks, per cell (common practice, no source).
constexpr std::pair<double, double> agm_rest[] = {{0, 1.940}, {0.25, 2.005}, {0.5, 2.050}, {0.75, 2.100}, {1, 2.142}};

double at(Table table, double z) {
    const auto next = std::find_if(table.begin() + 1, table.end() - 1, [z](auto& p) { return p.first >= z; });
    const auto& [z1, v1] = *next;
    const auto& [z0, v0] = *(next - 1);
    return v0 + (v1 - v0) * (z - z0) / (z1 - z0);
}

System describe(std::uint64_t seed, Chemistry chemistry, double label_ah, double target_v, twin::Random& random) {
    const bool lfp = chemistry == Chemistry::lfp;
    System s;
    s.name = "textbook van " + std::to_string(seed);
    s.nominal_voltage = Volt(12);
    s.battery.chemistry = chemistry;
    s.battery.design_capacity = AmpHour(label_ah);
    s.battery.rated_over = Hour(lfp ? 5 : 20);
    s.battery.cells_in_series = lfp ? 4 : 6;
    s.battery.reserve = Fraction(lfp ? 0.2 : 0.5);
    s.battery.full = {Volt(target_v - random.even(0.1, 0.4)),
                      Ampere(label_ah * (lfp ? random.even(0.02, 0.05) : random.even(0.01, 0.02))),
                      Second(lfp ? 180 : 1800)};
    s.meters = {Meter{}};
    return s;
}

}  // namespace

TextbookVan::TextbookVan(std::uint64_t seed, Chemistry chemistry, Second interval)
    : random_(seed * 104729 + static_cast<std::uint64_t>(chemistry)), hours_(to_hours(interval).value()) {
    auto& r = random_;
    const bool lfp = chemistry == Chemistry::lfp;
    const double labels[] = {100, 150, 200, 230, 280, 400};
    const double label = labels[r.pick(6)];
    target_v_ = lfp ? r.even(14.0, 14.5) : r.even(14.4, 14.8);
    float_v_ = r.even(13.4, 13.6);
    system_ = describe(seed, chemistry, label, target_v_, r);
    const double off = r.even(0.02, 0.14);
    capacity_ah_ = label * (1 + (r.chance(0.5) ? off : -off));
    const double cells = system_.battery.cells_in_series;
    const double unit = cells / capacity_ah_ * (lfp ? 0.05 : 0.09);
    cell_.ohmic = unit * r.even(0.6, 1.6);
    cell_.fast = unit * r.even(0.4, 1.2);
    cell_.slow = unit * r.even(0.4, 1.4);
    cell_.fast_s = r.even_log(15, 90);
    cell_.slow_s = r.even_log(900, 3600);
    cell_.hysteresis_v = lfp ? cells * r.even(0.006, 0.022) : 0;
    cell_.sharpness = r.even(30, 100);
    cell_.curve_off_v = cells * r.even(-0.006, 0.006);
    cell_.kept = lfp ? r.even(0.996, 1.0) : r.even(0.97, 1.0);
    cell_.kept_at_top = lfp ? cell_.kept : r.even(0.75, 0.92);
    cell_.knee = lfp ? 1 : r.even(0.75, 0.9);
    cell_.fills_in_h = r.even(0.8, 2);

    const double a_day_wh = label * 12.8 * (lfp ? r.even(0.1, 0.5) : r.even(0.08, 0.3));
    life_.fridge_duty = r.even(0.2, 0.45);
    life_.base_w = a_day_wh / 24 * r.even(0.1, 0.4);
    life_.evening_w = r.even(0.3, 1) * a_day_wh / 5;
    if (r.chance(0.5)) life_.burst_w = r.even(600, 1400);
    life_.bursts_a_day = r.even(1, 6);
    life_.panels_w = a_day_wh / 4.0 * r.even(0.8, 2.2);
    life_.dull = r.even(0.1, 0.5);
    life_.patience_d = r.even(1, 10);
    life_.spares_below = r.even(0.03, lfp ? 0.2 : 0.5);
    life_.shore_a = label * r.even(0.08, 0.25);

    offset_a_ = r.even(-0.15, 0.15);
    gain_ = r.even(-0.01, 0.01);
    noise_a_ = r.even(0.01, 0.1);
    noise_v_ = r.even(0.002, 0.01);
    charge_ = r.even(0.3, 0.95);
    truth_.at = Instant::from_unix(1704067200.0 + 86400.0 * r.pick(300));
    truth_.capacity = AmpHour(capacity_ah_);
    truth_.offset = Ampere(offset_a_);
}

void TextbookVan::new_day() {
    const double fresh = random_.chance(life_.dull) ? random_.even(0.05, 0.35) : random_.even(0.5, 1);
    sunshine_ += (1 - life_.cloud_memory) * (fresh - sunshine_);
    shore_ = not_full_h_ > 24 * life_.patience_d - 30 || charge_ < life_.spares_below + 0.1;
}

double TextbookVan::rest_volt(double z) const {
    const bool lfp = system_.battery.chemistry == Chemistry::lfp;
    // A full cell of lithium takes nothing more at any charger's voltage.
    const double cell_v = lfp ? at(lfp_rest, z) + 0.2 * std::exp((z - 1) / 0.002) : at(agm_rest, z);
    return system_.battery.cells_in_series * cell_v + cell_.curve_off_v;
}

double TextbookVan::load_w(double hour) {
    const bool fridge = std::fmod(hour * 60, 40) < 40 * life_.fridge_duty;
    const bool evening = hour > 17.5 && hour < 22.5;
    if (burst_left_h_ <= 0 && life_.burst_w > 0 && random_.chance(life_.bursts_a_day * hours_ / 24))
        burst_left_h_ = random_.even(0.02, 0.15);
    burst_left_h_ -= hours_;
    if (charge_ < life_.spares_below) return life_.base_w;
    return life_.base_w + (fridge ? life_.fridge_w : 0) + (evening ? life_.evening_w : 0) +
           (burst_left_h_ > 0 ? life_.burst_w : 0);
}

double TextbookVan::offered_a(double hour) const {
    const double height = std::sin(std::numbers::pi * (hour - 6.5) / 11);
    const double sun = hour > 6.5 && hour < 17.5 ? life_.panels_w * sunshine_ * height / 13.5 : 0;
    return sun + (shore_ ? life_.shore_a : 0);
}

std::span<const Reading> TextbookVan::step() {
    const double unix_s = truth_.at.unix_seconds();
    const double hour = std::fmod(unix_s, 86400) / 3600;
    if (const long today = static_cast<long>(unix_s / 86400); today != day_) {
        day_ = today;
        floating_ = false;
        held_h_ = 0;
        new_day();
    }
    const bool lfp = system_.battery.chemistry == Chemistry::lfp;
    const double load_a = load_w(hour) / volt_;
    const double offered = offered_a(hour);
    const double at_rest = rest_volt(charge_) + cell_.hysteresis_v * branch_ + fast_v_ + slow_v_;
    const double target = floating_ ? float_v_ : target_v_;
    // Lead-acid charged by 0.25 V a cell above rest takes in proportion to what is missing.
    const double takes_a = capacity_ah_ * ((1 - charge_) / cell_.fills_in_h + 0.001);
    const double charging_ohm = cell_.ohmic + (lfp ? 0 : 0.25 * system_.battery.cells_in_series / takes_a);
    double current = offered - load_a;
    volt_ = at_rest + (current > 0 ? charging_ohm : cell_.ohmic) * current;
    if (offered > 0 && volt_ > target) {  // the charger holds its target, as far as the loads let it
        const double ohm = at_rest < target ? charging_ohm : cell_.ohmic;
        current = std::max((target - at_rest) / ohm, -load_a);
        volt_ = at_rest + ohm * current;
        held_h_ += hours_;
        if (held_h_ > (lfp ? 1 : 5)) floating_ = true;
    }

    const double rise = std::clamp((charge_ - cell_.knee) / std::max(1 - cell_.knee, 1e-9), 0.0, 1.0);
    const double kept = current > 0 ? cell_.kept + (cell_.kept_at_top - cell_.kept) * rise : 1;
    charge_ = std::clamp(charge_ + current * kept * hours_ / capacity_ah_ - 0.02 / 730 * hours_, 0.0, 1.0);
    const double turned = std::exp(-cell_.sharpness * std::abs(current) * hours_ / capacity_ah_);
    branch_ = turned * branch_ + (1 - turned) * (current > 0 ? 1 : -1);
    const double seconds = hours_ * 3600;
    fast_v_ += (cell_.fast * current - fast_v_) * -std::expm1(-seconds / cell_.fast_s);
    slow_v_ += (cell_.slow * current - slow_v_) * -std::expm1(-seconds / cell_.slow_s);
    not_full_h_ = charge_ > 0.985 ? 0 : not_full_h_ + hours_;
    if (floating_ && not_full_h_ == 0) shore_ = false;

    truth_.at = truth_.at + Second(seconds);
    truth_.state_of_charge = Fraction(charge_);
    truth_.current = Ampere(current);
    truth_.voltage = Volt(volt_);
    reading_.at = truth_.at;
    reading_.current =
        Ampere(std::round(1000 * (current * (1 + gain_) + offset_a_ + noise_a_ * random_.grain())) / 1000);
    reading_.voltage = Volt(std::round(100 * (volt_ + noise_v_ * random_.grain())) / 100);
    return {&reading_, 1};
}

}  // namespace amphora::bench

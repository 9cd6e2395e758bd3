// Quantities with their unit in the type: a Volt cannot be added to an Ampere, and the product of the two is a Watt.
// Each holds one double in the unit that its name says. Conversions (seconds and hours, kelvin and Celsius) are written
// out, never implied. The hot loop compiles to the same instructions as bare doubles (bench/quantity_bench.cpp).
#pragma once

#include <cmath>
#include <compare>
#include <limits>

namespace amphora {

/// A value with a unit tag. Construction from a bare double is explicit; `value()` gives the number back.
template <class Tag>
class Quantity {
public:
    constexpr Quantity() = default;
    constexpr explicit Quantity(double value) : value_(value) {}

    [[nodiscard]] constexpr double value() const { return value_; }
    [[nodiscard]] bool known() const { return std::isfinite(value_); }

    /// "Not measured": a NaN in this unit.
    static constexpr Quantity missing() { return Quantity(std::numeric_limits<double>::quiet_NaN()); }

    constexpr auto operator<=>(const Quantity&) const = default;
    constexpr Quantity operator-() const { return Quantity(-value_); }
    constexpr Quantity& operator+=(Quantity o) {
        value_ += o.value_;
        return *this;
    }
    constexpr Quantity& operator-=(Quantity o) {
        value_ -= o.value_;
        return *this;
    }
    friend constexpr Quantity operator+(Quantity a, Quantity b) { return Quantity(a.value_ + b.value_); }
    friend constexpr Quantity operator-(Quantity a, Quantity b) { return Quantity(a.value_ - b.value_); }
    friend constexpr Quantity operator*(Quantity a, double k) { return Quantity(a.value_ * k); }
    friend constexpr Quantity operator*(double k, Quantity a) { return Quantity(a.value_ * k); }
    friend constexpr Quantity operator/(Quantity a, double k) { return Quantity(a.value_ / k); }
    friend constexpr double operator/(Quantity a, Quantity b) { return a.value_ / b.value_; }

private:
    double value_ = 0.0;
};

using Volt = Quantity<struct VoltTag>;
using Ampere = Quantity<struct AmpereTag>;
using Ohm = Quantity<struct OhmTag>;
using Watt = Quantity<struct WattTag>;
using AmpHour = Quantity<struct AmpHourTag>;
using WattHour = Quantity<struct WattHourTag>;
using Second = Quantity<struct SecondTag>;
using Hour = Quantity<struct HourTag>;
using Celsius = Quantity<struct CelsiusTag>;
using Kelvin = Quantity<struct KelvinTag>;
/// A share of a whole, 1 = all of it (state of charge, efficiency, depth of discharge).
using Fraction = Quantity<struct FractionTag>;
/// Current in multiples of the capacity per hour (C-rate).
using CRate = Quantity<struct CRateTag>;

constexpr double seconds_per_hour = 3600.0;

constexpr Hour to_hours(Second s) { return Hour(s.value() / seconds_per_hour); }
constexpr Second to_seconds(Hour h) { return Second(h.value() * seconds_per_hour); }
constexpr Kelvin to_kelvin(Celsius c) { return Kelvin(c.value() + 273.15); }
constexpr Celsius to_celsius(Kelvin k) { return Celsius(k.value() - 273.15); }

constexpr Watt operator*(Volt v, Ampere i) { return Watt(v.value() * i.value()); }
constexpr Watt operator*(Ampere i, Volt v) { return v * i; }
constexpr Volt operator*(Ohm r, Ampere i) { return Volt(r.value() * i.value()); }
constexpr Volt operator*(Ampere i, Ohm r) { return r * i; }
constexpr Ohm operator/(Volt v, Ampere i) { return Ohm(v.value() / i.value()); }
constexpr Ampere operator/(Volt v, Ohm r) { return Ampere(v.value() / r.value()); }
constexpr Ampere operator/(Watt p, Volt v) { return Ampere(p.value() / v.value()); }
constexpr AmpHour operator*(Ampere i, Hour t) { return AmpHour(i.value() * t.value()); }
constexpr AmpHour operator*(Ampere i, Second t) { return i * to_hours(t); }
constexpr Hour operator/(AmpHour q, Ampere i) { return Hour(q.value() / i.value()); }
constexpr Ampere operator/(AmpHour q, Hour t) { return Ampere(q.value() / t.value()); }
constexpr WattHour operator*(Watt p, Hour t) { return WattHour(p.value() * t.value()); }
constexpr WattHour operator*(Watt p, Second t) { return p * to_hours(t); }
constexpr WattHour operator*(AmpHour q, Volt v) { return WattHour(q.value() * v.value()); }
constexpr AmpHour operator*(Fraction f, AmpHour q) { return AmpHour(f.value() * q.value()); }

/// A figure and how sure it is: mean and standard deviation in the same unit.
template <class Q>
struct Uncertain {
    Q mean{};
    Q sd{};
};

/// The 90 % two-sided band of a normal distribution is mean +- this many standard deviations.
constexpr double band90 = 1.6448536269514722;

}  // namespace amphora

// Copper conductors by the two series that are sold: square millimetres (IEC 60228) and American gauge (ASTM B258).
#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>

#include "core/quantity/length.hpp"

namespace amphora::design {

enum class SizeSeries { metric, american };

/// One size of conductor. Flexible (class 5) plain copper where metric.
struct ConductorSize {
    SizeSeries series = SizeSeries::metric;
    std::string_view label;  // "2.5" or "10", "2/0"
    SquareMillimetre area;
    OhmPerKilometre resistance_20;  // at 20 C
};

/// The series, thin to thick.
[[nodiscard]] std::span<const ConductorSize> sizes(SizeSeries series);

/// The size of that area, or nothing if IEC 60228 knows none.
[[nodiscard]] std::optional<ConductorSize> metric_size(SquareMillimetre area);
/// The size of that label ("18" .. "1", "1/0" .. "4/0"), or nothing.
[[nodiscard]] std::optional<ConductorSize> gauge_size(std::string_view label);

/// "16 mm²" or "6 AWG".
[[nodiscard]] std::string name(const ConductorSize& size);

/// Greatest resistance per kilometre at 20 C by IEC 60228:2004, tables 2 (class 2, stranded) and 3 (class 5, flexible).
struct IecResistance {
    SquareMillimetre area;
    OhmPerKilometre stranded;
    OhmPerKilometre stranded_tinned;
    OhmPerKilometre flexible;
    OhmPerKilometre flexible_tinned;
};
[[nodiscard]] std::span<const IecResistance> iec_60228();

/// Factor on a copper resistance from 20 C to another temperature: 0.00393 /K (IEC 60287-1-1, table 1).
[[nodiscard]] constexpr double warmer(Celsius t) { return 1.0 + 0.00393 * (t.value() - 20.0); }

/// Resistance of a conductor, one way, at its own temperature.
[[nodiscard]] constexpr Ohm resistance(const ConductorSize& size, Metre length, Celsius at) {
    return size.resistance_20 * length * warmer(at);
}

}  // namespace amphora::design

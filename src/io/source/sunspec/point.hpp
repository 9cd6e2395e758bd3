// One value of a SunSpec model: scale factors, and the codes that stand for "not implemented".
//
// Source: SunSpec information model specification, as written out in the repository sunspec/models (commit 7abdf898)
// and in sunspec/pysunspec2's mb.py (commit f2ece9aa): not implemented are int16 8000h, uint16 and enum16 FFFFh, int32
// 80000000h, uint32 FFFFFFFFh, scale factors 8000h; value = raw * 10^scale factor; high word first.
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>

#include "io/source/modbus/register_value.hpp"

namespace amphora::sunspec {

using modbus::Word;

/// The words of one model, beginning with its ID; places count from there, as in the models' own tables. Whatever is
/// not implemented, or lies beyond the words that are there, is nothing.
class Points {
public:
    explicit Points(std::span<const Word> words) : words_(words) {}

    [[nodiscard]] std::optional<std::uint16_t> unsigned16(std::size_t at) const;
    [[nodiscard]] std::optional<std::int16_t> signed16(std::size_t at) const;
    [[nodiscard]] std::optional<std::uint32_t> unsigned32(std::size_t at) const;

    /// The exponent at a place: -10 to 10, as the specification allows.
    [[nodiscard]] std::optional<int> scale_factor(std::size_t at) const;

    /// The value at a place with the scale factor at another.
    [[nodiscard]] std::optional<double> scaled_unsigned(std::size_t at, std::size_t factor_at) const;
    [[nodiscard]] std::optional<double> scaled_signed(std::size_t at, std::size_t factor_at) const;

private:
    std::span<const Word> words_;
};

}  // namespace amphora::sunspec

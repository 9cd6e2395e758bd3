// A block: a stretch of readings as bytes that can be read without this program (docs/reference/record.md gives the
// layout). What the meter gave comes back bit for bit, whatever it was.
#pragma once

#include <cstdint>
#include <expected>
#include <span>
#include <vector>

#include "core/quantity/reading.hpp"

namespace amphora::ledger {

/// Most readings in one block: nine hours at one a second. Long enough that tables of frequencies cost nothing,
/// short enough that a day takes three.
constexpr std::size_t block_capacity = 32768;

/// Readings by column; the form in which a block is decoded fastest.
struct Columns {
    std::vector<std::int64_t> time_us;
    std::vector<double> current;      // amperes; NaN where missing
    std::vector<double> voltage;      // volts
    std::vector<double> temperature;  // degrees Celsius

    [[nodiscard]] std::size_t size() const { return time_us.size(); }
    [[nodiscard]] Reading reading(std::size_t i) const {
        return {Instant{time_us[i]}, Ampere(current[i]), Volt(voltage[i]), Celsius(temperature[i])};
    }
};

enum class BlockFault : std::uint8_t { too_short, checksum, unknown_version, malformed };
[[nodiscard]] const char* describe(BlockFault fault);

/// The readings as bytes, checksum included. Any times, any doubles; at most block_capacity readings.
[[nodiscard]] std::vector<std::uint8_t> encode_block(std::span<const Reading> readings);

/// Fills `columns` with the readings. Safe on any bytes; on a fault the columns are empty.
[[nodiscard]] std::expected<void, BlockFault> decode_block(std::span<const std::uint8_t> bytes, Columns& columns);

/// Readings in a block, its checksum not looked at; 0 when it is too short to say.
[[nodiscard]] std::size_t block_count(std::span<const std::uint8_t> bytes);

}  // namespace amphora::ledger

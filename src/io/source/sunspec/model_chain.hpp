// Where a SunSpec device keeps its models: the marker, then blocks of ID, length and so many registers, up to the ID
// FFFFh.
//
// Source: SunSpec information model specification; the bases in the order of sunspec/pysunspec2 client.py (commit
// f2ece9aa, line 199).
#pragma once

#include <array>
#include <cstdint>
#include <expected>
#include <functional>
#include <string>
#include <vector>

#include "io/source/modbus/register_value.hpp"

namespace amphora::sunspec {

using modbus::Word;

/// Where the marker "SunS" may stand, in the order in which to look.
constexpr std::array<std::uint16_t, 3> bases{40000, 0, 50000};

struct Model {
    std::uint16_t id = 0;
    std::uint16_t address = 0;  // of the register that holds the ID
    std::uint16_t length = 0;   // registers behind ID and length

    bool operator==(const Model&) const = default;
};

/// Reads holding registers; or nothing, or fewer than asked for, where the device does not answer with them.
using RegisterReader = std::function<std::vector<Word>(std::uint16_t address, std::uint16_t words)>;

/// Every model of the device. A chain that breaks off, goes on beyond the last register or has more than 64 models is
/// refused, with a word on where.
[[nodiscard]] std::expected<std::vector<Model>, std::string> find_models(const RegisterReader& read);

}  // namespace amphora::sunspec

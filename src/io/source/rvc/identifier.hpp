// The 29-bit identifier of an RV-C message: priority, data group number, sender.
//
// Source: RV-C full layer, 3.1: three bits of priority, eighteen of data group number (DGN), eight of source address,
// as in SAE J1939-21. Known from texts that quote it.
#pragma once

#include <cstdint>

namespace amphora::rvc {

/// Data group number: what a message is about.
using Dgn = std::uint32_t;

struct Identifier {
    std::uint8_t priority = 0;  // 0 is the most urgent
    Dgn dgn = 0;
    std::uint8_t sender = 0;

    bool operator==(const Identifier&) const = default;
};

/// Takes an identifier apart. Where the group's upper byte is below F0h its lower byte is the receiver's address, which
/// is not part of the group's number.
[[nodiscard]] constexpr Identifier identifier_of(std::uint32_t can_id) {
    const Dgn whole = (can_id >> 8U) & 0x3'FFFFU;
    const bool addressed = ((whole >> 8U) & 0xFFU) < 0xF0U;
    return {static_cast<std::uint8_t>((can_id >> 26U) & 7U), addressed ? whole & 0x3'FF00U : whole,
            static_cast<std::uint8_t>(can_id & 0xFFU)};
}

}  // namespace amphora::rvc

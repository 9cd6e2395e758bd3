// A line of text that stands for a CAN frame: the log format of candump -l, and the lines that candump prints.
//
// Source: can-utils (lib.h, and the usage texts of candump and canplayer):
//     (1700000000.000000) can0 19FFFD80#0178090139C43577
//     (1700000000.000000)  can0  19FFFD80   [8]  01 78 09 01 39 C4 35 77
//       can0  19FFFD80   [8]  01 78 09 01 39 C4 35 77
// Eight digits of an identifier are an extended or an error frame, three a standard one; R marks a remote frame; bytes
// of the log format may have dots between them; what comes behind the bytes is passed over.
#pragma once

#include <cstdint>
#include <expected>
#include <optional>
#include <string_view>

#include "core/quantity/instant.hpp"
#include "io/source/rvc/can_frame.hpp"

namespace amphora::rvc {

struct CandumpLine {
    std::optional<Instant> at;  // where the line begins with an absolute time
    std::string_view bus;       // "can0"; into the line
    CanFrame frame;
};

enum class CandumpFault : std::uint8_t {
    no_frame,  // blank, or neither of the formats
    bad_time,  // a bracket that holds no time
    bad_identifier,
    bad_data,   // no hexadecimal bytes, or not as many as said, or more than 8
    long_frame  // CAN FD or XL: RV-C has none
};

/// Reads a line, without its end. Relative times (candump -t d or z) are left out: they say no moment.
[[nodiscard]] std::expected<CandumpLine, CandumpFault> read_candump_line(std::string_view line);

/// What is wrong with a line, and what was expected; no full stop.
[[nodiscard]] std::string_view describe(CandumpFault fault);

}  // namespace amphora::rvc

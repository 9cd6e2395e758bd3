// Why a log cannot be read at all. A bad line is no such error: it is counted, and the reading goes on.
#pragma once

#include <cstdint>
#include <string>

namespace amphora::source {

enum class SourceFault : std::uint8_t {
    cannot_open,
    cannot_read,
    not_text,   // UTF-16, or no line end in the first 64 KiB
    no_header,  // empty, or numbers where the names of the columns should be
    missing_column,
    repeated_column,
    no_rated_pair  // shunt_mv without the meter's rated current and drop
};

struct SourceError {
    SourceFault fault;
    std::string message;  // what, where, and what to do; without a full stop
};

}  // namespace amphora::source

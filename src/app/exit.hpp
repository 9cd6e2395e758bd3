// What the program tells its caller when it ends.
#pragma once

namespace amphora::app {

/// Exit codes as in BSD's sysexits.h, by name.
enum class Exit : int {
    ok = 0,
    usage = 64,
    data = 65,
    no_input = 66,
    unavailable = 69,
    software = 70,
    os = 71,
    cannot_create = 73,
    io = 74,
    temporary = 75,
    protocol = 76,
    permission = 77,
    config = 78
};

}  // namespace amphora::app

// How a command ends that cannot do what it was asked.
#pragma once

#include <fmt/core.h>

#include <cstdio>
#include <string_view>

#include "app/exit.hpp"

namespace amphora::app {

/// Tells the person why, as every command does, and returns `exit`.
inline Exit give_up(std::string_view command, Exit exit, std::string_view why) {
    fmt::print(stderr, "amphora {}: {}\n", command, why);
    return exit;
}

}  // namespace amphora::app

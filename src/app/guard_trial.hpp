// amphora guard test: a log, the record or an invented week run against the rules.
#pragma once

#include <string>

#include "app/guard_scene.hpp"
#include "app/record_place.hpp"

namespace amphora::app {

struct GuardTrial {
    std::string system;
    std::string log;  // a path, "-", or empty
    bool from_record = false;
    std::string record_file;
    std::string from;
    std::string to;
    SceneRequest scene;  // its name empty: none
    bool json = false;
};

/// Prints what would have tripped when, for how long and why.
[[nodiscard]] Exit try_guards(const GuardTrial& trial);

}  // namespace amphora::app

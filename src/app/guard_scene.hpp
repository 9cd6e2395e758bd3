// Invented days to try guards on.
#pragma once

#include <expected>
#include <functional>
#include <string>
#include <string_view>
#include <vector>

#include "core/quantity/reading.hpp"
#include "core/system/system.hpp"

namespace amphora::app {

struct GuardScene {
    std::string_view name;
    std::string_view about;
};

/// Every scene, in the order of the help.
[[nodiscard]] const std::vector<GuardScene>& guard_scenes();

struct SceneRequest {
    std::string scene;
    double days = 7.0;
    int seed = 1;
};

/// Lives the scene in an invented van with a battery of the described chemistry, its voltages and currents brought to
/// the size of the described battery, and gives each reading to `take`. The error is a sentence.
[[nodiscard]] std::expected<void, std::string> play(const SceneRequest& request, const System& system,
                                                    const std::function<void(const Reading&)>& take);

}  // namespace amphora::app

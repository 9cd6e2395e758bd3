#include "app/guard_scene.hpp"

#include <fmt/ranges.h>

#include <algorithm>
#include <ranges>
#include <stdexcept>

#include "twin/draw.hpp"
#include "twin/van.hpp"

namespace amphora::app {
namespace {

constexpr double january = 1'736'467'200.0;  // 2025-01-10 00:00 UTC
constexpr double july = 1'752'105'600.0;     // 2025-07-10 00:00 UTC

twin::ApplianceSpec starting_motor() {
    twin::ApplianceSpec motor;
    motor.name = "compressor behind the inverter";
    motor.power = Watt(2600);
    motor.runs_per_day = 30;
    motor.run = Second(2);
    motor.length_spread = 0.2;
    motor.runs_when_away = true;
    return motor;
}

twin::VanSpec van_for(const SceneRequest& request, const System& system) {
    const bool cold = request.scene == "frost";
    auto spec = twin::draw_van({.seed = static_cast<std::uint64_t>(request.seed),
                                .chemistry = system.battery.chemistry,
                                .climate = cold ? twin::Climate::cold : twin::Climate::temperate,
                                .interval = Second(1)});
    spec.start = Instant::from_unix(request.scene == "summer" || request.scene == "surges" ? july : january);
    if (cold) {
        spec.weather.mean = Celsius(-2);
        spec.warm_room = Celsius(-20);
    }
    if (request.scene == "running-down") {
        spec.chargers.clear();
        spec.start_charge = Fraction(0.4);
        spec.shed_below = Fraction(0.0);
    }
    if (request.scene == "surges") spec.household.appliances.push_back(starting_motor());
    return spec;
}

}  // namespace

const std::vector<GuardScene>& guard_scenes() {
    static const std::vector<GuardScene> scenes{
        {"winter", "short days in January"},
        {"summer", "long days in July"},
        {"frost", "a van in hard frost, nobody heats"},
        {"running-down", "nothing charges any more"},
        {"surges", "a motor behind an inverter starts again and again"},
        {"meter-lost", "the meter says nothing for two hours each day"},
    };
    return scenes;
}

std::expected<void, std::string> play(const SceneRequest& request, const System& system,
                                      const std::function<void(const Reading&)>& take) {
    if (std::ranges::find(guard_scenes(), request.scene, &GuardScene::name) == guard_scenes().end())
        return std::unexpected(fmt::format("there is no scene \"{}\"; there are {}", request.scene,
                                           fmt::join(guard_scenes() | std::views::transform(&GuardScene::name), ", ")));
    try {
        twin::Van van(van_for(request, system));
        const auto& bank = van.system().battery;
        const double volts = static_cast<double>(system.battery.cells_in_series) / bank.cells_in_series;
        const double amperes = system.battery.design_capacity / bank.design_capacity;
        const auto seconds = static_cast<long>(request.days * 86'400.0);
        for (long second = 0; second < seconds; ++second) {
            const bool lost = request.scene == "meter-lost" && second % 86'400 >= 43'200 && second % 86'400 < 50'400;
            for (const Reading& r : van.step())
                if (!lost) take({r.at, r.current * amperes, r.voltage * volts, r.temperature});
        }
    } catch (const std::invalid_argument& error) {
        return std::unexpected(error.what());
    }
    return {};
}

}  // namespace amphora::app

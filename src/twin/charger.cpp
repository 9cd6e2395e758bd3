#include "twin/charger.hpp"

#include <algorithm>

namespace amphora::twin {

void Charger::minute(Ampere can_give, Volt battery, Ampere gave, bool regulating, Celsius temperature) {
    constexpr Second minute{60};
    available_ = std::min(can_give, spec_.limit);
    const bool works = available_.value() > 0;
    const bool resting = stage_ == Stage::floating || stage_ == Stage::stopped;

    low_ = resting && battery < spec_.restart ? low_ + minute : Second(0);
    if (low_ >= Second(300)) begin();
    if (stage_ == Stage::bulk && regulating && works) stage_ = Stage::absorption;
    if (stage_ == Stage::absorption && regulating) {
        absorbed_ += minute;
        quiet_ = gave < spec_.tail ? quiet_ + minute : Second(0);
        if (absorbed_ >= spec_.absorb_for || quiet_ >= Second(180))
            stage_ = spec_.floating.known() ? Stage::floating : Stage::stopped;
    }
    target_ =
        (stage_ == Stage::floating ? spec_.floating : spec_.absorption) + spec_.per_kelvin * (temperature.value() - 25);
}

}  // namespace amphora::twin

#include "core/design/words.hpp"

#include <algorithm>
#include <cmath>
#include <cstdio>

namespace amphora::design {

std::string digits(double value, int significant) {
    if (!std::isfinite(value)) return "?";
    const int before = value == 0.0 ? 1 : static_cast<int>(std::floor(std::log10(std::abs(value)))) + 1;
    const int after = std::clamp(significant - before, 0, 6);
    const double unit = std::pow(10.0, std::max(0, before - significant));
    const double rounded = unit > 1.0 ? std::round(value / unit) * unit : value;
    std::string text(48, '\0');
    const int length = std::snprintf(text.data(), text.size(), "%.*f", after, rounded);
    text.resize(static_cast<std::size_t>(std::max(length, 0)));
    if (text.find('.') != std::string::npos) {
        text.erase(text.find_last_not_of('0') + 1);
        if (text.back() == '.') text.pop_back();
    }
    return text == "-0" ? "0" : text;
}

}  // namespace amphora::design

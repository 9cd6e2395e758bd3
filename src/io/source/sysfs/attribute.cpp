#include "io/source/sysfs/attribute.hpp"

#include <algorithm>
#include <array>
#include <utility>

#include "io/source/decimal.hpp"

namespace amphora::sysfs {
namespace {

// Takes digits off the front; false if there are none.
bool take_digits(std::string_view& rest) {
    const auto count = static_cast<std::size_t>(std::ranges::find_if_not(rest, source::is_digit) - rest.begin());
    rest.remove_prefix(count);
    return count > 0;
}

struct HwmonKind {
    std::string_view prefix;
    HwmonAttribute attribute;
    bool has_average;
};

constexpr std::array<HwmonKind, 4> hwmon_kinds{{{"in", {Physical::voltage, 1e-3}, false},
                                                {"curr", {Physical::current, 1e-3}, true},
                                                {"power", {Physical::power, 1e-6}, true},
                                                {"temp", {Physical::temperature, 1e-3}, false}}};

constexpr std::array<std::pair<std::string_view, Physical>, 4> iio_kinds{{{"voltage", Physical::voltage},
                                                                          {"current", Physical::current},
                                                                          {"power", Physical::power},
                                                                          {"temp", Physical::temperature}}};

// "in_voltage0-voltage1" -> "in_voltage-voltage": the name of what holds for all channels of the type.
std::string without_digits(std::string_view channel) {
    std::string type;
    std::ranges::copy_if(channel, std::back_inserter(type), [](char c) { return !source::is_digit(c); });
    return type;
}

std::vector<std::string> files(std::string_view channel, std::string_view type, std::string_view ending) {
    std::vector<std::string> names{std::string(channel)};
    for (const auto& shared : {without_digits(channel), "in_" + std::string(type)})
        if (std::ranges::find(names, shared) == names.end()) names.push_back(shared);
    for (auto& name : names) name += ending;
    return names;
}

}  // namespace

std::string_view unit_of(Physical physical) {
    switch (physical) {
        case Physical::voltage:
            return "V";
        case Physical::current:
            return "A";
        case Physical::power:
            return "W";
        case Physical::temperature:
            return "C";
    }
    return "";
}

std::optional<HwmonAttribute> hwmon_attribute(std::string_view name) {
    for (const auto& kind : hwmon_kinds) {
        auto rest = name;
        if (!rest.starts_with(kind.prefix)) continue;
        rest.remove_prefix(kind.prefix.size());
        if (take_digits(rest) && (rest == "_input" || (kind.has_average && rest == "_average"))) return kind.attribute;
    }
    return std::nullopt;
}

std::optional<IioAttribute> iio_attribute(std::string_view name) {
    const bool scaled = name.ends_with("_input");
    if (!name.starts_with("in_") || !(scaled || name.ends_with("_raw"))) return std::nullopt;
    const auto channel = name.substr(0, name.rfind('_'));
    for (const auto& [type, physical] : iio_kinds) {
        if (!channel.substr(3).starts_with(type)) continue;
        if (scaled) return IioAttribute{physical, true, {}, {}};
        return IioAttribute{physical, false, files(channel, type, "_scale"), files(channel, type, "_offset")};
    }
    return std::nullopt;
}

}  // namespace amphora::sysfs

// Figures as JSON: no more digits than anyone can use, null for what is not known.
#pragma once

#include <cmath>
#include <nlohmann/json.hpp>
#include <string>

#include "core/quantity/instant.hpp"
#include "core/quantity/quantity.hpp"
#include "io/web/message.hpp"

namespace amphora::web {

using Json = nlohmann::ordered_json;

/// How many decimals each kind of figure has.
namespace decimals {
constexpr int share = 4, ampere = 3, volt = 3, ah = 2, wh = 1, second = 0, degree = 1, watt = 1;
}

/// A number, or null for one that is not known or never comes.
[[nodiscard]] inline Json number(double value, int places) {
    if (!std::isfinite(value)) return nullptr;
    const double scale = std::pow(10.0, places);
    return std::round(value * scale) / scale + 0.0;  // + 0.0: no negative zero
}

template <class Q>
[[nodiscard]] Json uncertain(const Uncertain<Q>& figure, int places) {
    return {{"mean", number(figure.mean.value(), places)}, {"sd", number(figure.sd.value(), places)}};
}

/// Unix seconds.
[[nodiscard]] inline Json moment(Instant at) { return number(at.unix_seconds(), 3); }

/// In one line. A name from a description need not be UTF-8 in full: what is not is replaced.
[[nodiscard]] inline std::string text_of(const Json& answer) {
    return answer.dump(-1, ' ', false, Json::error_handler_t::replace);
}

[[nodiscard]] inline Response answer_with(const Json& answer) { return json(text_of(answer) + "\n"); }

}  // namespace amphora::web

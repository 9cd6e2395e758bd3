// The reasons behind the figures, one for each that the page shows.
#pragma once

#include <functional>
#include <string>
#include <string_view>
#include <vector>

#include "io/web/api/live_values.hpp"

namespace amphora::web {

/// All texts are plain sentences. `readings` and `now` depend on the moment, the rest is always so.
struct Reason {
    std::string_view figure;                                             // as in the query: "state_of_charge"
    std::string_view question;                                           // "Why this much?"
    std::string_view meaning;                                            // what the figure is
    std::string_view formula;                                            // in words
    std::string_view rule;                                               // what decides, and what is left out
    std::string_view source;                                             // where the rule is from
    std::function<std::string(const Present&, const System&)> readings;  // which readings made it what it is
};

[[nodiscard]] const std::vector<Reason>& reasons();

}  // namespace amphora::web

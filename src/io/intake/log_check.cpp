#include "io/intake/log_check.hpp"

#include <fmt/core.h>

#include "io/intake/scale_check.hpp"
#include "io/text/figure.hpp"

namespace amphora::intake {

std::vector<std::string> LogCheck::warnings(std::uint64_t refused) const {
    std::vector<std::string> said;
    for (const auto& verdict : {judge_voltage(first_, &system_, true), judge_current(first_, &system_, true, false)})
        if (!verdict.said.empty())
            said.push_back(fmt::format(
                "{}{}", verdict.said, verdict.sure ? "; `amphora import` brings such a log into the right units" : ""));
    if (refused > 0 && (!said.empty() || refused * 100 > readings_))
        said.insert(said.begin(), fmt::format("{} in {} refused, as beyond what this battery can do{}",
                                              text::count_of(refused, "value"),
                                              text::count_of(readings_, "reading") + (refused == 1 ? " was" : " were"),
                                              said.empty() ? "" : ", and what follows rests on little"));
    if (sign_.verdict() == SignVerdict::undirected)
        said.push_back(
            "the current is never negative, yet the voltage falls with it as often as it rises: the log does not say "
            "which way the current flows, and what follows is wrong with it");
    if (sign_.verdict() == SignVerdict::reversed)
        said.push_back(
            fmt::format("the voltage rises when the current falls (correlation {:.2f} over {}): the current has the "
                        "wrong sign, and what follows is wrong with it; positive must be into the battery",
                        sign_.correlation(), text::count_of(sign_.steps(), "step")));
    return said;
}

}  // namespace amphora::intake

#include "io/text/commission_words.hpp"

#include <fmt/format.h>

#include <cmath>

#include "io/text/figure.hpp"

namespace amphora::text {

using commission::Finding;
using commission::Step;
using commission::Verdict;

std::string_view verdict_words(Verdict verdict) {
    switch (verdict) {
        case Verdict::passed:
            return "passed";
        case Verdict::differs:
            return "differs";
        case Verdict::unsure:
            return "not sure";
        case Verdict::skipped:
            break;
    }
    return "left out";
}

std::string seen_words(const Finding& f) {
    if (f.voltage.known())
        return fmt::format("highest absorption {:.2f} V, full from {:.2f} V", f.voltage.value(),
                           f.wanted_voltage.value());
    if (!f.seen.mean.known()) return "-";
    std::string out = figure(f.seen);
    if (f.step == Step::direction) out += fmt::format(", expected about {:.2g} A", f.expected.value());
    if (f.step == Step::zero)
        out += fmt::format(" (uncorrected {} a day)",
                           with_band(std::abs(f.seen.mean.value()) * 24.0, f.seen.sd.value() * 24.0, "Ah"));
    if (f.ratio > 0.0)
        out += fmt::format(", the other meter {:.4g} A: {}", f.expected.value(),
                           with_band(f.ratio * 100.0, f.ratio_sd * 100.0, "%"));
    return out;
}

}  // namespace amphora::text

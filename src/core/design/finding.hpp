// What a design check has to say: the figures, the rule in one sentence, where the rule is from, and what would mend
// it.
#pragma once

#include <string>
#include <vector>

namespace amphora::design {

/// danger: can burn, hurt, or spoil the battery. warning: will not work as meant. note: worth knowing.
enum class Severity { note, warning, danger };

struct Figure {
    std::string name;
    double value = 0.0;
    std::string unit;
};

struct Finding {
    Severity severity = Severity::note;
    std::string rule;     // identifier, "cable.ampacity"
    std::string subject;  // "circuit heater", "bank"
    std::vector<Figure> figures;
    std::string sentence;
    std::string source;
    std::string mend;
};

using Findings = std::vector<Finding>;

}  // namespace amphora::design

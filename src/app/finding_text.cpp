#include "app/finding_text.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <nlohmann/json.hpp>

#include "core/design/words.hpp"

namespace amphora::app {
namespace {

using design::Severity;

std::string marked(Severity severity, bool colour) {
    const std::string word = name(severity);
    if (!colour) return word;
    const char* code = severity == Severity::danger ? "1;31" : severity == Severity::warning ? "1;33" : "2";
    return fmt::format("\x1b[{}m{}\x1b[0m", code, word);
}

std::string figures(const design::Finding& f) {
    std::string line;
    for (const auto& figure : f.figures) {
        line += fmt::format("{}{} {}{}{}", line.empty() ? "" : "; ", figure.name, design::digits(figure.value),
                            figure.unit.empty() ? "" : " ", figure.unit);
    }
    return line;
}

}  // namespace

const char* name(Severity severity) {
    switch (severity) {
        case Severity::danger:
            return "danger";
        case Severity::warning:
            return "warning";
        case Severity::note:
            break;
    }
    return "note";
}

std::string findings_text(const design::Findings& findings, bool colour) {
    std::string out;
    for (const auto& f : findings) {
        out += fmt::format("{}  {}  [{}]\n  {}\n", marked(f.severity, colour), f.subject, f.rule, f.sentence);
        if (!f.figures.empty()) out += fmt::format("  figures: {}\n", figures(f));
        out += fmt::format("  rule:    {}\n  mend:    {}\n\n", f.source, f.mend);
    }
    const auto count = [&](Severity s) { return std::ranges::count(findings, s, &design::Finding::severity); };
    return out + fmt::format("dangers: {}, warnings: {}, notes: {}\n", count(Severity::danger),
                             count(Severity::warning), count(Severity::note));
}

nlohmann::ordered_json findings_json(const design::Findings& findings) {
    auto list = nlohmann::ordered_json::array();
    for (const auto& f : findings) {
        auto values = nlohmann::ordered_json::array();
        for (const auto& figure : f.figures)
            values.push_back({{"name", figure.name}, {"value", figure.value}, {"unit", figure.unit}});
        list.push_back({{"severity", name(f.severity)},
                        {"rule", f.rule},
                        {"subject", f.subject},
                        {"figures", values},
                        {"sentence", f.sentence},
                        {"source", f.source},
                        {"mend", f.mend}});
    }
    return list;
}

}  // namespace amphora::app

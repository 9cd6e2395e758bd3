#include "app/commission_words.hpp"

#include <fmt/format.h>

#include <cmath>
#include <nlohmann/json.hpp>

#include "io/text/commission_words.hpp"
#include "io/text/json_number.hpp"

namespace amphora::app {

using commission::Finding;
using text::seen_words;
using text::verdict_words;
using Json = nlohmann::ordered_json;

std::string commissioning_record(const commission::Commissioning& commissioning, const System& system,
                                 const record::LocalDays& days) {
    std::string out = fmt::format("# Commissioning of {}\n\n", system.name);
    if (!commissioning.findings().empty())
        out += fmt::format("{}, {}\n\n", days.date(commissioning.findings().front().at.us), days.zone());
    out += "| test | result | seen |\n| --- | --- | --- |\n";
    for (const Finding& f : commissioning.findings())
        out += fmt::format("| {} | {} | {} |\n", commission::title_of(f.step), verdict_words(f.verdict), seen_words(f));
    for (const Finding& f : commissioning.findings())
        out += fmt::format("\n## {}\n\nExpected: {}\n\nSeen: {}\n\n{}\n", commission::title_of(f.step),
                           commission::expectation_of(f.step), seen_words(f), commission::words_of(f.meaning));
    return out +
           "\nBands are 90 %. This says how the meter counts, not that the installation is safe: that is for the local "
           "code and who is licensed by it.\n";
}

Json to_json(const commission::Commissioning& commissioning) {
    Json list = Json::array();
    for (const Finding& f : commissioning.findings())
        list.push_back({{"test", commission::title_of(f.step)},
                        {"result", verdict_words(f.verdict)},
                        {"seen_a", text::json_number(f.seen.mean.value())},
                        {"seen_band_a", text::json_number(f.seen.sd.value() * band90)},
                        {"expected_a", text::json_number(f.expected.value())},
                        {"ratio", f.ratio > 0.0 ? Json(f.ratio) : Json(nullptr)},
                        {"meaning", commission::words_of(f.meaning)}});
    return {{"sound", commissioning.sound()}, {"tests", list}};
}

}  // namespace amphora::app

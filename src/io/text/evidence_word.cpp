#include "io/text/evidence_word.hpp"

#include <array>
#include <utility>

namespace amphora::text {
namespace {

constexpr std::array<std::pair<Evidence, std::string_view>, 5> words{
    {{Evidence::none, "none"},
     {Evidence::full, "full"},
     {Evidence::empty, "empty"},
     {Evidence::rest_voltage, "rest_voltage"},
     {Evidence::voltage_under_load, "voltage_under_load"}}};

}  // namespace

std::string_view evidence_word(Evidence kind) {
    for (const auto& [known, word] : words)
        if (known == kind) return word;
    return "none";
}

Evidence evidence_of(std::string_view word) {
    for (const auto& [kind, known] : words)
        if (known == word) return kind;
    return Evidence::none;
}

}  // namespace amphora::text

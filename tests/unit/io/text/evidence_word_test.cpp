#include "io/text/evidence_word.hpp"

#include <gtest/gtest.h>

#include <set>

namespace amphora::text {
namespace {

TEST(EvidenceWord, EveryKindHasItsOwnAndIsFoundByIt) {
    std::set<std::string_view> words;
    for (const auto kind :
         {Evidence::none, Evidence::full, Evidence::empty, Evidence::rest_voltage, Evidence::voltage_under_load}) {
        words.insert(evidence_word(kind));
        EXPECT_EQ(evidence_of(evidence_word(kind)), kind);
    }
    EXPECT_EQ(words.size(), 5U);
    EXPECT_EQ(evidence_of("a rumour"), Evidence::none);
}

}  // namespace
}  // namespace amphora::text

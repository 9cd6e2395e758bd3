// What a commissioning saw, in figures rounded to what is known; and that the guide names the tests as the program
// does.
#include "io/text/commission_words.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <fstream>
#include <iterator>

namespace amphora::text {
namespace {

using testing::HasSubstr;

TEST(CommissionWords, FiguresAreRoundedToWhatIsKnown) {
    commission::Finding f;
    f.step = commission::Step::zero;
    f.seen = {Ampere(0.01234), Ampere(0.004 / band90)};
    EXPECT_EQ(seen_words(f), "0.012 A ± 0.004 (uncorrected 0.30 Ah ± 0.10 a day)");
    f.step = commission::Step::direction;
    f.seen = {Ampere(-5.0512), Ampere(0.03 / band90)};
    f.expected = Ampere(-5.078);
    EXPECT_EQ(seen_words(f), "-5.05 A ± 0.03, expected about -5.1 A");
    EXPECT_EQ(seen_words({}), "-");
}

TEST(CommissionWords, TheGuideHasTheSameTests) {
    std::ifstream in(AMPHORA_SOURCE_DIR "/docs/howto/commission.md");
    const std::string guide{std::istreambuf_iterator<char>(in), {}};
    for (std::size_t i = 0; i < commission::step_count; ++i)
        EXPECT_THAT(guide,
                    HasSubstr("| " + std::string(commission::title_of(static_cast<commission::Step>(i))) + " |"));
}

}  // namespace
}  // namespace amphora::text

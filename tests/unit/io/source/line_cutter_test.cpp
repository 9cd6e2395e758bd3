#include "io/source/line_cutter.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <vector>

namespace amphora::source {
namespace {

using testing::ElementsAre;
using testing::IsEmpty;

class Cut {
public:
    std::uint64_t give(std::string_view more) {
        return cutter.cut(more, [this](std::string_view line) {
            lines.emplace_back(line);
            return true;
        });
    }
    LineCutter cutter;
    std::vector<std::string> lines;
};

TEST(LineCutter, LinesComeWholeHoweverTheBytesCome) {
    Cut cut;
    for (const std::string_view piece : {"a", "b\nc", "d\n\n", "e", "\nf"}) EXPECT_EQ(cut.give(piece), 0U);
    EXPECT_THAT(cut.lines, ElementsAre("ab", "cd", "", "e"));
}

TEST(LineCutter, AnEndlessLineIsPassedOverOnceAndTheNextIsRead) {
    Cut cut;
    const std::string kilobyte(1024, 'x');
    std::uint64_t too_long = 0;
    for (int i = 0; i < 10'000; ++i) too_long += cut.give(kilobyte);
    EXPECT_EQ(too_long, 1U);
    EXPECT_EQ(cut.give("rest\nnext\n"), 0U);
    EXPECT_THAT(cut.lines, ElementsAre("next"));
}

TEST(LineCutter, TheLongestLineIsRead) {
    Cut cut;
    EXPECT_EQ(cut.give(std::string(LineCutter::longest, 'x') + "\n"), 0U);
    EXPECT_EQ(cut.lines.size(), 1U);
    EXPECT_EQ(cut.give(std::string(LineCutter::longest + 1, 'x') + "\n"), 1U);
    EXPECT_EQ(cut.lines.size(), 1U);
}

TEST(LineCutter, MayBeginWithinALine) {
    Cut cut;
    cut.cutter.begin(true);
    cut.give("half a line\nwhole\n");
    EXPECT_THAT(cut.lines, ElementsAre("whole"));
    cut.cutter.begin(false);
    cut.give("again\n");
    EXPECT_THAT(cut.lines, ElementsAre("whole", "again"));
}

TEST(LineCutter, StopsWhenTold) {
    LineCutter cutter;
    std::vector<std::string> lines;
    cutter.cut("a\nb\nc\n", [&](std::string_view line) {
        lines.emplace_back(line);
        return false;
    });
    EXPECT_THAT(lines, ElementsAre("a"));
}

}  // namespace
}  // namespace amphora::source

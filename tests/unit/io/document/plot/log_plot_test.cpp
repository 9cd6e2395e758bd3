#include "io/document/plot/log_plot.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>
#include <iterator>

#include "support/scratch_folder.hpp"

namespace amphora::plot {
namespace {

using testing::HasSubstr;
using testing::StartsWith;

std::string drawn(const LogTrace& trace, const std::string& name) {
    const ScratchFolder folder;
    const auto path = folder.path() / name;
    Estimate end;
    end.state_of_charge = {Fraction(0.62), Fraction(0.02)};
    EXPECT_TRUE(draw_log({"Blue Heron", Fraction(0.2), end}, trace, *page_kind(name), *sink::OutputFile::create(path)));
    std::ifstream file(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(file), {}};
}

// A reading every ten minutes, a day away in the middle.
LogTrace some_days(int days) {
    LogTrace trace;
    for (int i = 0; i < days * 144; ++i) {
        const Instant at{1'777'593'600'000'000 + std::int64_t{i} * 600'000'000};
        if (i > days * 72 && i < days * 72 + 144) continue;
        trace.add(Reading{at, Ampere(i % 100 - 70), Volt(12.8 + 0.01 * (i % 50))});
        Estimate said;
        said.at = at;
        said.state_of_charge = {Fraction(0.5 + 0.004 * (i % 100)), Fraction(0.03)};
        trace.add(said, Uncertain<Fraction>{Fraction(0.52), Fraction(0.01)});
    }
    return trace;
}

TEST(LogPlot, KindsOfPages) {
    EXPECT_EQ(page_kind("a.svg"), PageKind::svg);
    EXPECT_EQ(page_kind("a.b.png"), PageKind::png);
    EXPECT_EQ(page_kind("a.pdf"), PageKind::pdf);
    EXPECT_FALSE(page_kind("a.gif"));
    EXPECT_FALSE(page_kind("svg"));
}

TEST(LogPlot, EachKindIsWritten) {
    const auto trace = some_days(4);
    EXPECT_THAT(drawn(trace, "a.svg"), HasSubstr("</svg>"));
    EXPECT_THAT(drawn(trace, "a.png"), StartsWith("\x89PNG"));
    EXPECT_THAT(drawn(trace, "a.pdf"), StartsWith("%PDF"));
}

TEST(LogPlot, AYearMakesNoLargerFileThanAMonth) {
    const auto month = drawn(some_days(31), "a.svg").size();
    const auto year = drawn(some_days(365), "a.svg").size();
    EXPECT_LT(year, 400'000U);
    EXPECT_LT(year, 2 * month);
}

TEST(LogPlot, ASingleReadingOfNothing) {
    LogTrace trace;
    trace.add(Reading{Instant{1'777'593'600'000'000}});
    EXPECT_THAT(drawn(trace, "a.svg"), HasSubstr("</svg>"));
}

}  // namespace
}  // namespace amphora::plot

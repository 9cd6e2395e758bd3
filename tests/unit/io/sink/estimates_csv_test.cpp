#include "io/sink/estimates_csv.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <fstream>
#include <limits>
#include <sstream>

#include "support/scratch_folder.hpp"

namespace amphora::sink {
namespace {

using testing::ElementsAre;
using testing::StartsWith;

Estimate an_estimate() {
    Estimate e;
    e.at = Instant{1'777'593'600'250'000};
    e.state_of_charge = {Fraction(0.62345678), Fraction(0.0234)};
    e.remaining = {AmpHour(78.1234), AmpHour(4.5)};
    e.full_charge_capacity = {AmpHour(187.0), AmpHour(3.5)};
    e.meter_offset = {Ampere(-0.0812), Ampere(0.009)};
    e.current = Ampere(-4.2);
    e.voltage = Volt(13.1);
    e.power = Watt(-55.02);
    const Second never(std::numeric_limits<double>::infinity());
    e.to_empty = {Second(3600.4), Second(7200), never};
    e.to_full = {never, never, never};
    e.evidence.kind = Evidence::rest_voltage;
    return e;
}

std::vector<std::string> lines_of(const Estimate& estimate, const std::optional<Uncertain<Fraction>>& hindsight) {
    const ScratchFolder folder;
    EstimatesCsv csv(*OutputFile::create(folder.path() / "out.csv"));
    csv.write(estimate, hindsight);
    EXPECT_TRUE(csv.commit());
    std::ifstream file(folder.path() / "out.csv");
    std::vector<std::string> lines;
    for (std::string line; std::getline(file, line);) lines.push_back(line);
    return lines;
}

TEST(EstimatesCsv, ARow) {
    EXPECT_THAT(
        lines_of(an_estimate(), Uncertain<Fraction>{Fraction(0.6), Fraction(0.01)}),
        ElementsAre(StartsWith("time_utc,state_of_charge,state_of_charge_sd,remaining_ah,remaining_ah_sd,"
                               "time_to_empty_s,hindsight_state_of_charge,hindsight_state_of_charge_sd,"),
                    "1777593600.25,0.62346,0.02340,78.123,4.500,7200,0.60000,0.01000,3600,,,-4.200,13.100,-55.0,"
                    "-0.0812,0.0090,187.000,3.500,rest_voltage"));
}

TEST(EstimatesCsv, WhatIsNotKnownIsEmpty) {
    Estimate e;
    e.at = Instant{1'777'593'600'000'001};
    e.evidence.kind = Evidence::none;
    const auto lines = lines_of(e, std::nullopt);
    EXPECT_EQ(lines.at(1), "1777593600.000001,0.00000,0.00000,0.000,0.000,,,,,,,,,,0.0000,0.0000,0.000,0.000,none");
}

TEST(EstimatesCsv, EveryRowHasAsManyCellsAsTheHeader) {
    const auto lines = lines_of(an_estimate(), std::nullopt);
    EXPECT_EQ(std::ranges::count(lines.at(0), ','), std::ranges::count(lines.at(1), ','));
}

TEST(EstimatesCsv, AValueThatFitsNoCellIsLeftOut) {
    auto e = an_estimate();
    e.power = Watt(1e300);
    const auto lines = lines_of(e, std::nullopt);
    EXPECT_EQ(std::ranges::count(lines.at(0), ','), std::ranges::count(lines.at(1), ','));
}

}  // namespace
}  // namespace amphora::sink

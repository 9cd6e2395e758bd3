#include "io/web/api/past_api.hpp"

#include "unit/io/web/api/desk_fixture.hpp"

namespace amphora::web {
namespace {

using nlohmann::json;

class PastApi : public DeskTest {};

TEST_F(PastApi, GivesTheLastDayUnlessAskedOtherwise) {
    const json span = ask_json("/api/v1/span");
    EXPECT_EQ(span["to"].get<double>() - span["from"].get<double>(), 86400.0);
    EXPECT_GE(span["to"], begin_s + 3 * 86400 - 60);
    EXPECT_GT(span["edges"].size(), 200U);
}

TEST_F(PastApi, GivesThePastInColumns) {
    const json span = ask_json("/api/v1/span", "from=1704067200&to=1704326400&points=72");
    ASSERT_EQ(span["edges"].size(), 73U);
    for (const auto& [name, column] : span.items())
        if (column.is_array() && name != "edges") {
            EXPECT_EQ(column.size(), 72U) << name;
        }
    EXPECT_EQ(span["current_a"][12], 6.0);
    EXPECT_EQ(span["current_a"][20], -1.0);
    EXPECT_NEAR(span["total"]["in_ah"].get<double>(), 3 * 4 * 6.0, 0.1);
    EXPECT_NEAR(span["total"]["out_ah"].get<double>(), 3 * 20 * 1.0, 0.1);
    for (std::size_t i = 1; i < 72; ++i) {
        EXPECT_TRUE(span["state_of_charge"][i].is_number()) << i;
        EXPECT_TRUE(span["hindsight"][i].is_number()) << i;
        EXPECT_LE(span["hindsight_low"][i], span["hindsight_high"][i]) << i;
    }
}

TEST_F(PastApi, TheChargeRisesWhileItIsCharged) {
    const json span = ask_json("/api/v1/span", "from=1704067200&to=1704153600&points=24");
    EXPECT_GT(span["state_of_charge"][14].get<double>(), span["state_of_charge"][10].get<double>() + 0.1);
}

TEST_F(PastApi, APieceFinerThanAnHourHasItsOwnCharge) {
    const json span = ask_json("/api/v1/span", "from=1704103200&to=1704106800&points=12");
    EXPECT_EQ(span["edges"].size(), 13U);
    EXPECT_LT(span["state_of_charge"][1], span["state_of_charge"][10]);
}

TEST_F(PastApi, GivesDaysAsBars) {
    const json bars = ask_json("/api/v1/bars", "by=day&from=1704067200&to=1704326400");
    ASSERT_EQ(bars["from"].size(), 3U);
    for (std::size_t i = 0; i < 3; ++i) {
        EXPECT_EQ(bars["to"][i].get<double>() - bars["from"][i].get<double>(), 86400.0);
        EXPECT_NEAR(bars["in_ah"][i].get<double>(), 24.0, 0.05);
        EXPECT_NEAR(bars["out_ah"][i].get<double>(), 20.0, 0.05);
        EXPECT_LT(bars["hindsight_low"][i], bars["hindsight_high"][i]);
    }
    EXPECT_EQ(ask_json("/api/v1/bars", "by=month&from=1704067200&to=1704326400")["from"].size(), 1U);
    EXPECT_EQ(ask_json("/api/v1/bars", "by=hour&from=1704067200&to=1704326400")["from"].size(), 72U);
}

TEST_F(PastApi, WhatIsRecordedMeanwhileIsSeen) {
    auto merger = record::Merger::open(past.file(), record::LocalDays::utc());
    ASSERT_TRUE(merger.has_value());
    ASSERT_TRUE(merger->add({{Instant{begin_us + 3 * ledger::day_us}, Ampere(2), Volt(13), Celsius(15)}}));
    ASSERT_TRUE(merger->finish());
    past.forget();
    tend(desk);
    EXPECT_EQ(ask_json("/api/v1/record")["readings"], 3 * 8640 + 1);
}

TEST_F(PastApi, RefusesWhatIsNoSpanOfTime) {
    for (const char* query : {"from=x", "from=1&to=1", "from=2&to=1", "points=0", "points=2001", "points=1.5",
                              "from=1e99", "to=-1e99", "from=nan", "to="}) {
        const Response response = ask("/api/v1/span", query);
        EXPECT_EQ(response.status, 400U) << query;
        EXPECT_EQ(response.type, "application/problem+json");
    }
    EXPECT_EQ(ask("/api/v1/bars", "by=year").status, 400U);
    EXPECT_EQ(ask("/api/v1/bars", "by=hour&from=0&to=1704326400").status, 400U);
}

}  // namespace
}  // namespace amphora::web

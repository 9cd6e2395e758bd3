#include "io/source/modbus/request_plan.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>

namespace amphora::modbus {
namespace {

using testing::ElementsAre;
using testing::IsEmpty;

constexpr auto holding = RegisterBank::holding;
constexpr auto input = RegisterBank::input;

std::vector<Request> plan(const std::vector<RegisterPlace>& places, std::uint16_t most_between = 0) {
    return plan_requests(places, most_between);
}

TEST(RequestPlan, NothingWantedNothingAsked) { EXPECT_THAT(plan({}), IsEmpty()); }

TEST(RequestPlan, NeighboursComeTogetherInAnyOrder) {
    EXPECT_THAT(plan({{holding, 12, 2}, {holding, 10, 2}, {holding, 14, 1}}), ElementsAre(Request{holding, 10, 5}));
}

TEST(RequestPlan, AGapIsBridgedIfItIsSmallEnough) {
    EXPECT_THAT(plan({{holding, 0, 1}, {holding, 5, 1}}, 4), ElementsAre(Request{holding, 0, 6}));
    EXPECT_THAT(plan({{holding, 0, 1}, {holding, 5, 1}}, 3),
                ElementsAre(Request{holding, 0, 1}, Request{holding, 5, 1}));
}

TEST(RequestPlan, TheBanksAreApart) {
    EXPECT_THAT(plan({{input, 1, 1}, {holding, 0, 1}}), ElementsAre(Request{holding, 0, 1}, Request{input, 1, 1}));
}

TEST(RequestPlan, OneRequestHoldsAtMost125) {
    EXPECT_THAT(plan({{holding, 0, 2}, {holding, 123, 2}}, 200), ElementsAre(Request{holding, 0, 125}));
    EXPECT_THAT(plan({{holding, 0, 2}, {holding, 124, 2}}, 200),
                ElementsAre(Request{holding, 0, 2}, Request{holding, 124, 2}));
}

TEST(RequestPlan, TheSamePlaceTwiceOrOneWithinAnother) {
    EXPECT_THAT(plan({{holding, 4, 2}, {holding, 4, 2}, {holding, 4, 1}, {holding, 5, 1}}),
                ElementsAre(Request{holding, 4, 2}));
}

TEST(RequestPlan, TheLastRegisterCanBeAsked) {
    EXPECT_THAT(plan({{holding, 65535, 1}, {holding, 65534, 1}}, 4), ElementsAre(Request{holding, 65534, 2}));
}

TEST(RequestPlan, EveryPlaceIsCoveredWhole) {
    std::vector<RegisterPlace> places;
    for (std::uint16_t i = 0; i < 400; ++i)
        places.push_back({i % 3 == 0 ? input : holding, static_cast<std::uint16_t>(i * 7919 % 1000), 2});
    const auto requests = plan(places, 6);
    for (const auto& place : places)
        EXPECT_TRUE(std::ranges::any_of(requests, [&](const Request& r) { return covers(r, place); }));
    for (const auto& request : requests) EXPECT_LE(request.words, most_words);
}

}  // namespace
}  // namespace amphora::modbus

#include "io/source/rvc/bus_listener.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <string>

#include "io/source/rvc/candump_line.hpp"

namespace amphora::rvc {
namespace {

using testing::DoubleEq;
using testing::ElementsAre;
using testing::IsEmpty;

class Bus {
public:
    /// The figures of a frame that comes at so many seconds.
    std::vector<double> hear(double seconds, const std::string& frame) {
        std::vector<double> figures;
        const auto line = rvc::read_candump_line("can0 " + frame);
        EXPECT_TRUE(listener_.take(line->frame, BootTime{static_cast<std::int64_t>(seconds * 1e6)},
                                   [&](const BusFigure& figure) { figures.push_back(figure.value); }));
        return figures;
    }

private:
    BusListener listener_;
};

// Status 1 of instance 1, 13.25 V and -12.345 A, from a sender with a priority.
std::string status_1(std::string_view sender, std::string_view priority) {
    return "19FFFD" + std::string(sender) + "#01" + std::string(priority) + "090139C43577";
}

TEST(BusListener, TheHigherPriorityIsBelieved) {
    Bus bus;
    EXPECT_EQ(bus.hear(0.0, status_1("80", "28")).size(), 2U);  // a plain meter, priority 40
    EXPECT_EQ(bus.hear(0.1, status_1("81", "78")).size(), 2U);  // a battery monitor, priority 120
    EXPECT_THAT(bus.hear(0.5, status_1("80", "28")), IsEmpty());
    EXPECT_EQ(bus.hear(0.6, status_1("81", "78")).size(), 2U);
}

TEST(BusListener, TheNextInRankTakesOverWhenTheFirstIsGone) {
    Bus bus;
    bus.hear(0.0, status_1("81", "78"));
    EXPECT_THAT(bus.hear(1.4, status_1("80", "28")), IsEmpty());
    EXPECT_EQ(bus.hear(1.6, status_1("80", "28")).size(), 2U);
}

TEST(BusListener, OfTwoWithTheSamePriorityTheFirstIsBelieved) {
    Bus bus;
    bus.hear(0.0, status_1("80", "78"));
    EXPECT_THAT(bus.hear(0.1, status_1("81", "78")), IsEmpty());
    EXPECT_EQ(bus.hear(0.5, status_1("80", "78")).size(), 2U);
}

TEST(BusListener, InstancesDoNotDisturbEachOther) {
    Bus bus;
    bus.hear(0.0, status_1("81", "78"));
    EXPECT_EQ(bus.hear(0.1, "19FFFD80#0228090139C43577").size(), 2U);
}

TEST(BusListener, MillivoltsReplaceTheCoarseVoltageAsLongAsTheyCome) {
    Bus bus;
    EXPECT_THAT(bus.hear(0.0, status_1("80", "78")), ElementsAre(DoubleEq(-12.345), DoubleEq(13.25)));
    EXPECT_THAT(bus.hear(0.1, "19FEC880#0178BF3300000000"), ElementsAre(DoubleEq(13.247)));
    EXPECT_THAT(bus.hear(0.5, status_1("80", "78")), ElementsAre(DoubleEq(-12.345)));
    EXPECT_THAT(bus.hear(6.0, status_1("80", "78")), ElementsAre(DoubleEq(-12.345), DoubleEq(13.25)));
}

TEST(BusListener, WhatAChargerWantsIsNoReading) {
    Bus bus;
    EXPECT_THAT(bus.hear(0.0, "19FFC742#012001587F9603FF"), IsEmpty());
    EXPECT_THAT(bus.hear(0.1, "19FEA342#0201501F01EA7E57"),
                ElementsAre(DoubleEq(14.35), DoubleEq(24.5), DoubleEq(47.0)));
}

}  // namespace
}  // namespace amphora::rvc

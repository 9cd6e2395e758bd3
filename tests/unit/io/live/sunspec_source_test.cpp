// SunSpec models on a server made with libmodbus.
#include <fmt/format.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <thread>

#include "io/live/sunspec_respondent.hpp"
#include "support/modbus_peer.hpp"
#include "unit/io/live/bench.hpp"

namespace amphora::live {
namespace {

using testing::DoubleNear;
using testing::ElementsAre;
using testing::HasSubstr;

// The common model and model 802: 13.25 V, -12.3 A, 76.3 %, cells from 3.301 V to 3.345 V.
void put_battery(ModbusPeer& peer) {
    constexpr int base = 40000;
    constexpr int battery = base + 2 + 68;
    peer.set_holding(base, {0x5375, 0x6E53, 1, 66});
    peer.set_holding(battery, {802, 62});
    peer.set_holding(battery + 11, {763});
    peer.set_holding(battery + 18, {1});
    peer.set_holding(battery + 34, {1325});
    peer.set_holding(battery + 37, {3345, 0, 0, 3301});
    peer.set_holding(battery + 44, {0xFF85});
    peer.set_holding(battery + 56, {0xFFFF});
    peer.set_holding(battery + 59, {0xFFFE, 0xFFFD, 0xFFFF});
    peer.set_holding(battery + 64, {0xFFFF, 0});
}

std::string source_at(const ModbusPeer& peer) {
    return fmt::format("[[source]]\nname = \"storage\"\nkind = \"sunspec\"\nat = \"127.0.0.1:{}\"\nevery_s = 0.05\n",
                       peer.port());
}

TEST(SunspecSource, ReadsTheBatteryModel) {
    ModbusPeer peer(0, 40000, 200);
    put_battery(peer);
    Bench bench(source_at(peer) +
                "[[source.channel]]\nmeasures = \"voltage\"\n[[source.channel]]\nmeasures = \"current\"\n"
                "[[source.channel]]\nmeasures = \"state-of-charge\"\n[[source.channel]]\nmeasures = \"cell-voltage\"\n"
                "[[source.channel]]\nmeasures = \"cell-voltage\"\ncell = 2\nfield = \"highest-cell\"\n"
                "[[source.channel]]\nmeasures = \"temperature\"\n");
    ASSERT_TRUE(bench.run_until_samples(5)) << bench.source->health().trouble;
    EXPECT_THAT(bench.values(), ElementsAre(DoubleNear(13.25, 1e-9), DoubleNear(-12.3, 1e-9), DoubleNear(0.763, 1e-9),
                                            DoubleNear(3.301, 1e-9), DoubleNear(3.345, 1e-9)))
        << "the device has no temperature";
}

TEST(SunspecSource, ADeviceWithoutABatteryIsTold) {
    ModbusPeer peer(0, 40000, 200);
    peer.set_holding(40000, {0x5375, 0x6E53, 1, 66});
    peer.set_holding(40070, {0xFFFF, 0});
    Bench bench(source_at(peer) + "[[source.channel]]\nmeasures = \"voltage\"\n");
    ASSERT_TRUE(bench.run_until([&] { return bench.source->health().errors > 0; }));
    EXPECT_THAT(bench.source->health().trouble, HasSubstr("expected the model 802 or 803 or 713, found 1"));
}

TEST(SunspecSource, ADeviceOfAnotherKindIsTold) {
    ModbusPeer peer;
    Bench bench(source_at(peer) + "[[source.channel]]\nmeasures = \"voltage\"\n");
    ASSERT_TRUE(bench.run_until([&] { return bench.source->health().errors > 0; }));
    EXPECT_THAT(bench.source->health().trouble, HasSubstr("no SunSpec marker"));
}

TEST(SunspecRespondent, DataWhoseHeartbeatStandsStillAreOld) {
    ModbusPeer peer(0, 40000, 200);
    put_battery(peer);
    described::Source source;
    source.at = fmt::format("127.0.0.1:{}", peer.port());
    described::Channel channel;
    channel.measures = Measurand::voltage;
    SunspecRespondent device(modbus_line(source.at, {}), source, {{0, &channel}}, std::chrono::milliseconds(50));
    ASSERT_TRUE(device.ask());
    std::this_thread::sleep_for(std::chrono::milliseconds(80));
    const auto frozen = device.ask();
    ASSERT_FALSE(frozen);
    EXPECT_THAT(frozen.error().why, HasSubstr("heartbeat stands still"));
    peer.set_holding(40070 + 18, {2});
    EXPECT_TRUE(device.ask());
}

}  // namespace
}  // namespace amphora::live

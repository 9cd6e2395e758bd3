// Modbus against a server made with libmodbus: over TCP, and as RTU over a pair of pseudo-terminals.
#include <fmt/format.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <optional>

#include "io/live/modbus_line.hpp"
#include "support/modbus_peer.hpp"
#include "support/null_modem.hpp"
#include "unit/io/live/bench.hpp"

namespace amphora::live {
namespace {

using testing::DoubleNear;
using testing::ElementsAre;
using testing::HasSubstr;

std::string source_at(const std::string& at, std::string_view more = "") {
    return fmt::format("[[source]]\nname = \"bus\"\nkind = \"modbus\"\nat = \"{}\"\nevery_s = 0.05\n{}", at, more);
}

std::string over_tcp(const ModbusPeer& peer) { return fmt::format("127.0.0.1:{}", peer.port()); }

constexpr std::string_view volts_and_amperes =
    "[[source.channel]]\nmeasures = \"voltage\"\naddress = 10\nscale = 0.01\n"
    "[[source.channel]]\nmeasures = \"current\"\naddress = 11\ntype = \"s16\"\nscale = 0.1\npositive = "
    "\"discharging\"\n";

TEST(ModbusSource, ReadsRegistersOverTcp) {
    ModbusPeer peer;
    peer.set_holding(10, {1325, 123});
    Bench bench(source_at(over_tcp(peer)) + std::string(volts_and_amperes));
    ASSERT_TRUE(bench.run_until_samples(2)) << bench.source->health().trouble;
    EXPECT_THAT(bench.values(), ElementsAre(DoubleNear(13.25, 1e-9), DoubleNear(-12.3, 1e-9)));
    EXPECT_EQ(bench.all[0].at, bench.all[1].at) << "both came in one request";
    EXPECT_EQ(bench.source->health().state, SourceState::running);
    peer.set_holding(10, {1330, 0xFF85});  // -12.3 A in two's complement: charging
    const auto before = bench.all.size();
    ASSERT_TRUE(bench.run_until_samples(before + 4));
    EXPECT_NEAR(bench.all.back().value, 12.3, 1e-9);
}

TEST(ModbusSource, ReadsLongValuesFromBothBanks) {
    ModbusPeer peer;
    peer.set_input(100, {0x04EA, 0x4154});   // 13.2512 as a float, low word first
    peer.set_holding(20, {0xFFFF, 0xD8F0});  // -10 000 as a long integer
    Bench bench(source_at(over_tcp(peer)) +
                "[[source.channel]]\nmeasures = \"voltage\"\nbank = \"input\"\naddress = 100\ntype = \"f32\"\norder = "
                "\"cdab\"\n[[source.channel]]\nmeasures = \"current\"\naddress = 20\ntype = \"s32\"\nunit = \"mA\"\n");
    ASSERT_TRUE(bench.run_until_samples(2)) << bench.source->health().trouble;
    EXPECT_THAT(bench.values(), ElementsAre(DoubleNear(-10.0, 1e-9), DoubleNear(13.2512, 1e-5)));
}

TEST(ModbusSource, AValueThatTheDeviceDoesNotHaveIsLeftOut) {
    ModbusPeer peer;
    peer.set_holding(10, {1325, 0x7FFF});
    Bench bench(source_at(over_tcp(peer)) + std::string(volts_and_amperes) + "no_value = 32767\n");
    ASSERT_TRUE(bench.run_until_samples(3));
    for (const auto& sample : bench.all) EXPECT_EQ(sample.channel, 0U);
    EXPECT_EQ(bench.source->health().refused, 0U);
}

TEST(ModbusSource, WhatTheDeviceRefusesIsTold) {
    const ModbusPeer peer(0, 0, 5);
    Bench bench(source_at(over_tcp(peer)) + std::string(volts_and_amperes));
    ASSERT_TRUE(bench.run_until([&] { return bench.source->health().errors > 0; }));
    EXPECT_THAT(bench.source->health().trouble, HasSubstr("holding registers 10 to 11: Illegal data address"));
    EXPECT_EQ(bench.source->health().state, SourceState::waiting);
}

TEST(ModbusSource, NobodyThere) {
    int port = 0;
    {
        const ModbusPeer peer;
        port = peer.port();
    }
    Bench bench(source_at(fmt::format("127.0.0.1:{}", port)) + std::string(volts_and_amperes));
    ASSERT_TRUE(bench.run_until([&] { return bench.source->health().errors > 0; }));
    EXPECT_THAT(bench.source->health().trouble, HasSubstr("cannot be reached"));
}

TEST(ModbusSource, ComesBackWhenTheDeviceDoes) {
    std::optional<ModbusPeer> peer(std::in_place);
    const int port = peer->port();
    peer->set_holding(10, {1325, 0});
    Bench bench(source_at(over_tcp(*peer)) + std::string(volts_and_amperes));
    ASSERT_TRUE(bench.run_until_samples(2));
    peer.reset();
    ASSERT_TRUE(bench.run_until([&] { return bench.source->health().errors > 0; }));
    peer.emplace(port);
    peer->set_holding(10, {1290, 0});
    ASSERT_TRUE(
        bench.run_until([&] { return bench.source->health().reconnects == 1 && bench.all.back().value == 0.0; }));
    EXPECT_NEAR(bench.all[bench.all.size() - 2].value, 12.9, 1e-9);
    EXPECT_EQ(bench.source->health().trouble, "");
}

TEST(ModbusSource, ASilentDeviceCostsOnlyItsTimeout) {
    ModbusPeer peer;
    peer.fall_silent();
    Bench bench(source_at(over_tcp(peer), "timeout_s = 0.1\n") + std::string(volts_and_amperes));
    const auto began = std::chrono::steady_clock::now();
    ASSERT_TRUE(bench.run_until([&] { return bench.source->health().errors > 0; }));
    EXPECT_LT(std::chrono::steady_clock::now() - began, std::chrono::seconds(2));
    EXPECT_THAT(bench.source->health().trouble, HasSubstr("timed out"));
}

TEST(ModbusSource, GarbageIsRefused) {
    ModbusPeer peer;
    peer.babble();
    Bench bench(source_at(over_tcp(peer), "timeout_s = 0.1\n") + std::string(volts_and_amperes));
    ASSERT_TRUE(bench.run_until([&] { return bench.source->health().errors > 0; }));
    EXPECT_GT(bench.source->health().refused, 0U);
    EXPECT_TRUE(bench.all.empty());
}

TEST(ModbusSource, ReadsADeviceOnASerialLine) {
    const NullModem cable;
    ModbusPeer peer(cable.one(), 3);
    peer.set_holding(10, {2650, 50});
    Bench bench(source_at(cable.other(), "device = 3\n") + std::string(volts_and_amperes));
    ASSERT_TRUE(bench.run_until_samples(4)) << bench.source->health().trouble;
    EXPECT_NEAR(bench.all[0].value, 26.5, 1e-9);
    EXPECT_NEAR(bench.all[1].value, -5.0, 1e-9);
}

// Two devices on one line have one master: a silent one does not keep the other from being heard.
TEST(ModbusSource, DevicesShareALine) {
    const NullModem cable;
    ModbusPeer peer(cable.one(), 3);
    peer.set_holding(10, {2650, 0});
    Bench here(source_at(cable.other(), "device = 3\ntimeout_s = 0.2\n") + std::string(volts_and_amperes));
    Bench nobody(source_at(cable.other(), "device = 4\ntimeout_s = 0.2\n") + std::string(volts_and_amperes));
    ASSERT_TRUE(here.run_until_samples(2)) << here.source->health().trouble;
    ASSERT_TRUE(nobody.run_until([&] { return nobody.source->health().errors > 0; }));
    EXPECT_THAT(nobody.source->health().trouble, HasSubstr("device 4"));
    const auto before = here.all.size();
    EXPECT_TRUE(here.run_until_samples(before + 4)) << here.source->health().trouble;
    EXPECT_EQ(here.source->health().errors, 0U);
}

TEST(ModbusSource, ASerialLineThatIsNotThereIsTold) {
    Bench bench(source_at("/dev/no-such-line") + std::string(volts_and_amperes));
    ASSERT_TRUE(bench.run_until([&] { return bench.source->health().errors > 0; }));
    EXPECT_THAT(bench.source->health().trouble, HasSubstr("No such file"));
}

TEST(ModbusLine, SetsAndReadsACoil) {
    ModbusPeer peer;
    const auto line = modbus_line(over_tcp(peer), {});
    EXPECT_EQ(modbus_line(over_tcp(peer), {}), line) << "one master for one place";
    ASSERT_TRUE(line->write_coil(1, 4, true, Second(0.5)));
    EXPECT_TRUE(peer.coil(4));
    EXPECT_TRUE(line->read_coil(1, 4, Second(0.5)).value());
    ASSERT_TRUE(line->write_coil(1, 4, false, Second(0.5)));
    EXPECT_FALSE(peer.coil(4));
    const auto beyond = line->write_coil(1, 400, true, Second(0.5));
    ASSERT_FALSE(beyond);
    EXPECT_THAT(beyond.error().why, HasSubstr("coil 400: Illegal data address"));
    EXPECT_FALSE(beyond.error().lost);
}

}  // namespace
}  // namespace amphora::live

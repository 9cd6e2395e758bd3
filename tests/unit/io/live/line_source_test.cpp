// Lines of text by a pseudo-terminal and over TCP, whole and broken.
#include "io/live/line_source.hpp"

#include <fcntl.h>
#include <gmock/gmock.h>
#include <stdlib.h>
#include <termios.h>
#include <unistd.h>

#include <boost/asio/write.hpp>

#include "unit/io/live/bench.hpp"

namespace amphora::live {
namespace {

using boost::asio::ip::tcp;
using testing::ElementsAre;

/// A pseudo-terminal: what is written to it comes out of a serial device.
class Terminal {
public:
    Terminal() : master_(posix_openpt(O_RDWR | O_NOCTTY)) {
        EXPECT_EQ(grantpt(master_), 0);
        EXPECT_EQ(unlockpt(master_), 0);
        name = ptsname(master_);
    }
    Terminal(const Terminal&) = delete;
    Terminal& operator=(const Terminal&) = delete;
    ~Terminal() { unplug(); }

    void write(std::string_view text) const {
        EXPECT_EQ(::write(master_, text.data(), text.size()), static_cast<ssize_t>(text.size()));
    }
    void unplug() {
        if (master_ >= 0) ::close(master_);
        master_ = -1;
    }

    std::string name;

private:
    int master_;
};

std::string serial(const std::string& device, const std::string& more) {
    return "[[source]]\nname = \"meter\"\nkind = \"serial\"\nat = \"" + device + "\"\n" + more;
}

const std::string current_and_voltage =
    "[[source.channel]]\nmeasures = \"current\"\nfield = \"i\"\nunit = \"mA\"\npositive = \"discharging\"\n"
    "[[source.channel]]\nmeasures = \"voltage\"\nfield = \"v\"\n";

TEST(SerialLines, ByPatternWithUnitAndDirection) {
    Terminal terminal;
    Bench bench(serial(terminal.name, "format = \"pattern\"\npattern = \"V={v} I={i}\"\n" + current_and_voltage));
    terminal.write("half a line\nV=13.20 I=4500\r\n");
    ASSERT_TRUE(bench.run_until_samples(2));
    EXPECT_THAT(bench.values(), ElementsAre(13.2, -4.5));
    EXPECT_EQ(bench.all[0].channel, 1U);
    EXPECT_EQ(bench.source->health().readings, 1U);
    EXPECT_EQ(bench.source->health().state, SourceState::running);
}

TEST(SerialLines, JsonWithPointersAndAShunt) {
    Terminal terminal;
    Bench bench(serial(terminal.name,
                       "[[source.channel]]\nmeasures = \"shunt-drop\"\nfield = \"/shunt/0\"\n"
                       "[[source.channel]]\nmeasures = \"temperature\"\nunit = \"F\"\n"));
    terminal.write("\n{\"shunt\": [-1.5], \"temperature\": \"50\", \"other\": null}\n");
    ASSERT_TRUE(bench.run_until_samples(2));
    EXPECT_NEAR(bench.all[0].value, -15.0, 1e-9);  // 500 A at 50 mV
    EXPECT_NEAR(bench.all[1].value, 10.0, 1e-9);
}

TEST(SerialLines, GarbageIsCountedAndPassedOver) {
    Terminal terminal;
    Bench bench(serial(terminal.name, "format = \"pattern\"\npattern = \"V={v} I={i}\"\n" + current_and_voltage));
    const std::string endless(6000, 'x');
    terminal.write("\n\x01\xff\xfe garbage\nV=13.1 I=nan\n");
    terminal.write(endless.substr(0, 3000));
    ASSERT_TRUE(bench.run_until([&] { return bench.source->health().refused >= 2; }));
    terminal.write(endless.substr(0, 3000));
    ASSERT_TRUE(bench.run_until([&] { return bench.source->health().refused >= 3; }));
    terminal.write("\nV=99999 I=1000\nV=13.2 I=1000\n");
    ASSERT_TRUE(bench.run_until_samples(3));
    EXPECT_THAT(bench.values(), ElementsAre(-1.0, 13.2, -1.0));  // no battery has 99999 V
    EXPECT_EQ(bench.source->health().refused, 4U);
}

TEST(SerialLines, AnUnpluggedDeviceIsAwaited) {
    auto terminal = std::make_unique<Terminal>();
    Bench bench(serial(terminal->name, current_and_voltage));
    terminal->write("\n{\"i\": 1000, \"v\": 13}\n");
    ASSERT_TRUE(bench.run_until_samples(2));
    terminal->unplug();
    ASSERT_TRUE(bench.run_until([&] { return bench.source->health().errors >= 1; }));
    EXPECT_EQ(bench.source->health().state, SourceState::waiting);
    // The kernel tells of it as an end or as an error.
    EXPECT_THAT(bench.source->health().trouble,
                testing::AnyOf(testing::HasSubstr(terminal->name), testing::HasSubstr("nothing more comes")));
}

TEST(SerialLines, WhatIsNoSerialDeviceIsSaid) {
    Bench bench(serial("/dev/null", current_and_voltage));
    EXPECT_THAT(bench.source->health().trouble, testing::HasSubstr("not a serial device"));
    Bench none(serial("/dev/no-such-device", current_and_voltage));
    EXPECT_THAT(none.source->health().trouble, testing::HasSubstr("No such file"));
}

TEST(TcpLines, ComeAndComeAgainAfterABreak) {
    boost::asio::io_context peer;
    tcp::acceptor acceptor(peer, tcp::endpoint(boost::asio::ip::address_v4::loopback(), 0));
    const auto port = std::to_string(acceptor.local_endpoint().port());
    Bench bench("[[source]]\nname = \"meter\"\nkind = \"tcp\"\nat = \"127.0.0.1:" + port + "\"\n" +
                current_and_voltage);
    tcp::socket first(peer);
    bench.run_until([&] { return bench.source->health().state == SourceState::running; });
    acceptor.accept(first);
    boost::asio::write(first, boost::asio::buffer(std::string("{\"v\": 13}\n{\"v\": ")));
    ASSERT_TRUE(bench.run_until_samples(1));
    first.close();
    ASSERT_TRUE(bench.run_until([&] { return bench.source->health().state == SourceState::waiting; }));
    ASSERT_TRUE(bench.run_until([&] { return bench.source->health().reconnects == 1; }));
    tcp::socket second(peer);
    acceptor.accept(second);
    boost::asio::write(second, boost::asio::buffer(std::string("{\"v\": 14}\n")));
    ASSERT_TRUE(bench.run_until_samples(2));
    EXPECT_THAT(bench.values(), ElementsAre(13.0, 14.0));
}

TEST(TwinSource, GivesABatteryThatCanBe) {
    Bench bench(
        "[[source]]\nname = \"van\"\nkind = \"twin\"\nevery_s = 0.05\n[[source.channel]]\nmeasures = "
        "\"current\"\n[[source.channel]]\nmeasures = \"voltage\"\n");
    ASSERT_TRUE(bench.run_until_samples(6));
    for (const LiveSample& s : bench.all) {
        if (s.channel == 1) {
            EXPECT_NEAR(s.value, 13.0, 2.0);
        }
    }
}

TEST(HostAndPort, AreTakenApart) {
    EXPECT_EQ(host_and_port("meter.local:9000")->host, "meter.local");
    EXPECT_EQ(host_and_port("[fe80::1]:23")->host, "fe80::1");
    EXPECT_EQ(host_and_port("[fe80::1]:23")->port, "23");
    for (const char* wrong : {"", "host", ":23", "host:", "host:2x", "host:123456"}) EXPECT_FALSE(host_and_port(wrong));
}

}  // namespace
}  // namespace amphora::live

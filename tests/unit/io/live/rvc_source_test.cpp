// RV-C by candump's lines, from a log and from a pipe; and what a computer without CAN says.
#include <fcntl.h>
#include <fmt/format.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <sys/socket.h>
#include <sys/stat.h>
#include <unistd.h>

#include <fstream>

#include "support/scratch_folder.hpp"
#include "unit/io/live/bench.hpp"

namespace amphora::live {
namespace {

using testing::DoubleNear;
using testing::ElementsAre;
using testing::HasSubstr;

constexpr std::string_view house_battery =
    "[[source.channel]]\nmeasures = \"voltage\"\n[[source.channel]]\nmeasures = \"current\"\n"
    "[[source.channel]]\nmeasures = \"temperature\"\n[[source.channel]]\nmeasures = \"state-of-charge\"\n"
    "[[source.channel]]\nmeasures = \"current\"\nof = \"charger\"\nwhose = \"roof\"\nmessage = \"solar\"\n";

std::string listener_at(const std::string& at) {
    return fmt::format("[[source]]\nname = \"bus\"\nkind = \"rvc\"\nat = \"{}\"\n", at);
}

class RvcSourceTest : public testing::Test {
protected:
    [[nodiscard]] std::string log(std::string_view text) const {
        const auto path = (scratch_.path() / "bus.log").string();
        std::ofstream(path) << text;
        return path;
    }
    [[nodiscard]] std::string pipe() const {
        auto path = (scratch_.path() / "bus").string();
        EXPECT_EQ(::mkfifo(path.c_str(), 0600), 0);
        return path;
    }

private:
    ScratchFolder scratch_;
};

TEST_F(RvcSourceTest, ALogOfCandump) {
    Bench bench(listener_at(log("(1700000000.000000) can0 19FFFD80#0178090139C43577\n"
                                "(1700000000.050000) can0 19FFFC80#01784025995802FC\n"
                                "(1700000000.100000) can0 19FE8090#01FFFF0F012C7EFF\n")) +
                std::string(house_battery));
    ASSERT_TRUE(bench.run_until_samples(5)) << bench.source->health().trouble;
    EXPECT_THAT(bench.values(), ElementsAre(DoubleNear(-12.345, 1e-9), DoubleNear(13.25, 1e-9), DoubleNear(25.0, 1e-9),
                                            DoubleNear(0.765, 1e-9), DoubleNear(15.0, 1e-9)));
    EXPECT_GE(bench.all[4].at - bench.all[0].at, Second(0.09)) << "at the pace of the log";
    ASSERT_TRUE(bench.run_until([&] { return bench.source->health().state == SourceState::off; }));
    EXPECT_THAT(bench.source->health().trouble, HasSubstr("the log has ended"));
    EXPECT_EQ(bench.source->health().readings, 3U);
}

TEST_F(RvcSourceTest, APipeGoesOnWhenItsWriterComesBack) {
    const auto path = pipe();
    Bench bench(listener_at(path) + std::string(house_battery));
    for (int i = 0; i < 2; ++i) {
        const int writer = ::open(path.c_str(), O_WRONLY | O_NONBLOCK);
        ASSERT_GE(writer, 0);
        constexpr std::string_view line = "  can0  19FFFD80   [8]  01 78 10 01 E0 45 35 77\n";
        ASSERT_EQ(::write(writer, line.data(), line.size()), static_cast<ssize_t>(line.size()));
        ::close(writer);
        ASSERT_TRUE(bench.run_until_samples(static_cast<std::size_t>(2 * (i + 1))));
    }
    EXPECT_NEAR(bench.all.back().value, 13.6, 1e-9);
    EXPECT_EQ(bench.source->health().state, SourceState::running);
}

TEST_F(RvcSourceTest, GarbageIsCountedAndNothingElse) {
    std::string noise(100'000, 'x');  // an endless line
    Bench bench(
        listener_at(log(noise + "\n(broken can0 19FFFD80#01\ncan0 19FFFD80#0178\ncan0 19FECA80#0102030405060708\n\n"
                                "can0 19FFFD80#0078090139C43577\ncan0 19FFFD80#0178FFFFFFFFFFFF\n"
                                "can0 19FFFD80#0178090139C43577\n")) +
        std::string(house_battery));
    ASSERT_TRUE(bench.run_until([&] { return bench.source->health().state == SourceState::off; }));
    EXPECT_EQ(bench.all.size(), 2U);
    EXPECT_EQ(bench.source->health().refused, 4U) << "too long, no time, truncated, instance 0";
    EXPECT_EQ(bench.source->health().readings, 1U);
}

TEST_F(RvcSourceTest, AnAbsurdCurrentIsRefused) {  // 2 294 967 A
    Bench bench(listener_at(log("can0 19FFFD80#01780901FCFFFFFF\n")) + std::string(house_battery));
    ASSERT_TRUE(bench.run_until([&] { return bench.source->health().state == SourceState::off; }));
    EXPECT_THAT(bench.values(), ElementsAre(DoubleNear(13.25, 1e-9)));
    EXPECT_EQ(bench.source->health().refused, 1U);
}

TEST_F(RvcSourceTest, AnInterfaceThatIsNotThereIsTold) {
    Bench bench(listener_at("nocan7") + std::string(house_battery));
    ASSERT_TRUE(bench.run_until([&] { return bench.source->health().errors > 0; }));
    EXPECT_THAT(bench.source->health().trouble,
                testing::AnyOf(HasSubstr("this computer has no CAN"), HasSubstr("there is no such interface")));
}

}  // namespace
}  // namespace amphora::live

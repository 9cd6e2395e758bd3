// Relays against real peers: a Modbus server made with the same library's server side, over TCP; and a wire that fails
// when it is told to.
#include "io/sink/relay.hpp"

#include <gtest/gtest.h>
#include <modbus/modbus.h>
#include <sys/socket.h>
#include <unistd.h>

#include <array>
#include <atomic>
#include <chrono>
#include <thread>

#include "io/live/modbus_wire.hpp"
#include "io/sink/threaded_relay.hpp"
#include "support/soon.hpp"

namespace amphora::sink {
namespace {

using namespace std::chrono_literals;

/// Coils of a device, on a port of its own.
class ModbusServer {
public:
    explicit ModbusServer(int port) : port_(port), coils_(modbus_mapping_new(16, 0, 0, 0)) {
        context_ = modbus_new_tcp("127.0.0.1", port_);
        listener_ = modbus_tcp_listen(context_, 2);
        thread_ = std::thread([this] { serve(); });
    }
    ~ModbusServer() {
        ended_ = true;
        shutdown(listener_, SHUT_RDWR);
        if (const int open = connection_; open >= 0) shutdown(open, SHUT_RDWR);
        thread_.join();
        close(listener_);
        modbus_mapping_free(coils_);
        modbus_free(context_);
    }
    ModbusServer(const ModbusServer&) = delete;
    ModbusServer& operator=(const ModbusServer&) = delete;

    [[nodiscard]] bool coil(int i) const { return coils_->tab_bits[i] != 0; }
    void set_coil(int i, bool on) { coils_->tab_bits[i] = on ? 1 : 0; }

private:
    void serve() {
        while (!ended_) {
            const int connection = modbus_tcp_accept(context_, &listener_);
            if (connection < 0) return;
            connection_ = connection;
            std::array<std::uint8_t, MODBUS_TCP_MAX_ADU_LENGTH> query{};
            for (int got = 0; !ended_ && (got = modbus_receive(context_, query.data())) >= 0;)
                if (got > 0) modbus_reply(context_, query.data(), got, coils_);
            connection_ = -1;
            modbus_close(context_);
        }
    }

    int port_;
    modbus_t* context_ = nullptr;
    modbus_mapping_t* coils_;
    int listener_ = -1;
    std::atomic<int> connection_ = -1;
    std::atomic<bool> ended_ = false;
    std::thread thread_;
};

int free_port() { return 20'000 + static_cast<int>(getpid() % 20'000); }

described::Relay coil_on(int port) {
    described::Relay relay;
    relay.kind = described::RelayKind::modbus;
    relay.at = "127.0.0.1:" + std::to_string(port);
    relay.coil = 5;
    return relay;
}

TEST(ModbusWire, SwitchesACoilAndReadsItBack) {
    ModbusServer server(free_port());
    const auto wire = live::modbus_wire(coil_on(free_port()));
    ASSERT_TRUE(wire->put(true));
    EXPECT_TRUE(server.coil(5));
    EXPECT_EQ(wire->look().value(), true);
    server.set_coil(5, false);  // by another hand
    EXPECT_EQ(wire->look().value(), false);
    ASSERT_TRUE(wire->put(false));
    EXPECT_FALSE(server.coil(5));
}

TEST(ModbusWire, ARefusedCoilIsTold) {
    const ModbusServer server(free_port());
    auto relay = coil_on(free_port());
    relay.coil = 99;
    const auto done = live::modbus_wire(relay)->put(true);
    ASSERT_FALSE(done);
    EXPECT_NE(done.error().find("Illegal data address"), std::string::npos) << done.error();
}

TEST(ModbusWire, ComesBackWhenTheDeviceDoes) {
    ThreadedRelay relay(live::modbus_wire(coil_on(free_port())), 20ms);
    relay.order(false);
    ASSERT_TRUE(soon([&] { return relay.standing().failures > 0; }));
    EXPECT_EQ(relay.standing().commanded, std::nullopt);
    EXPECT_NE(relay.standing().trouble.find("cannot be reached"), std::string::npos);
    relay.order(true);
    const ModbusServer server(free_port());
    ASSERT_TRUE(soon([&] { return relay.standing().confirmed == true; }));
    EXPECT_TRUE(server.coil(5)) << "the newest order, not the first";
    EXPECT_EQ(relay.standing().trouble, "");
}

TEST(GpioWire, SaysThatThereIsNoChip) {
    described::Relay relay;
    relay.at = "gpiochip-that-is-not-there";
    const auto wire = gpio_wire(relay);
    const auto done = wire->put(true);
    ASSERT_FALSE(done);
    EXPECT_NE(done.error().find("gpiochip-that-is-not-there: cannot be opened"), std::string::npos) << done.error();
    EXPECT_EQ(wire->look().value(), std::nullopt) << "no read-back is described";
}

TEST(Rehearsal, ConfirmsWhatItIsTold) {
    const auto relay = rehearsal_relay();
    EXPECT_EQ(relay->standing().commanded, std::nullopt);
    relay->order(true);
    EXPECT_EQ(relay->standing().confirmed, true);
}

struct FakeState {
    std::atomic<bool> slow = false;
    std::atomic<bool> fails = false;
    std::atomic<int> puts = 0;
    std::atomic<bool> on = false;
};

class FakeWire : public RelayWire {
public:
    explicit FakeWire(FakeState& state) : state_(state) {}
    std::expected<void, std::string> put(bool on) override {
        ++state_.puts;
        while (state_.slow) std::this_thread::sleep_for(1ms);
        if (state_.fails) return std::unexpected("broken");
        state_.on = on;
        return {};
    }
    std::expected<std::optional<bool>, std::string> look() override { return state_.on.load(); }

private:
    FakeState& state_;
};

TEST(ThreadedRelay, AnOrderNeverWaits) {
    FakeState state;
    state.slow = true;
    ThreadedRelay relay(std::make_unique<FakeWire>(state), 1s);
    const auto before = std::chrono::steady_clock::now();
    for (int i = 0; i < 1000; ++i) relay.order(i % 2 == 0);
    EXPECT_LT(std::chrono::steady_clock::now() - before, 500ms);
    EXPECT_EQ(relay.standing().commanded, std::nullopt);
    state.slow = false;
    ASSERT_TRUE(soon([&] { return relay.standing().commanded == false; }));
    EXPECT_EQ(relay.standing().confirmed, false);
    EXPECT_LT(state.puts, 1000) << "what was overtaken is not carried out";
}

TEST(ThreadedRelay, TheLastOrderIsStillGivenAtTheEnd) {
    FakeState state;
    {
        ThreadedRelay relay(std::make_unique<FakeWire>(state), 1s);
        relay.order(true);
    }
    EXPECT_TRUE(state.on);
}

TEST(ThreadedRelay, TriesAgainAfterAFailure) {
    FakeState state;
    state.fails = true;
    ThreadedRelay relay(std::make_unique<FakeWire>(state), 1s);
    relay.order(true);
    ASSERT_TRUE(soon([&] { return relay.standing().failures >= 2; }));
    EXPECT_EQ(relay.standing().trouble, "broken");
    state.fails = false;
    ASSERT_TRUE(soon([&] { return state.on.load(); }));
}

TEST(ThreadedRelay, TellsFromItsReadBackThatAnotherHandSwitched) {
    FakeState state;
    ThreadedRelay relay(std::make_unique<FakeWire>(state), 10ms);
    relay.order(true);
    ASSERT_TRUE(soon([&] { return relay.standing().confirmed == true; }));
    state.on = false;
    ASSERT_TRUE(soon([&] { return relay.standing().confirmed == false; }));
    EXPECT_EQ(relay.standing().commanded, true);
}

}  // namespace
}  // namespace amphora::sink

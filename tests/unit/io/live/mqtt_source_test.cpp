// MQTT against Debian's mosquitto.
#include <fmt/format.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "io/mqtt/client.hpp"
#include "support/broker.hpp"
#include "unit/io/live/bench.hpp"

namespace amphora::live {
namespace {

using testing::DoubleNear;
using testing::ElementsAre;
using testing::HasSubstr;

std::string tables(int port) {
    return fmt::format(
        "[broker]\nhost = \"127.0.0.1\"\nport = {}\n[[source]]\nname = \"gateway\"\nkind = \"mqtt\"\nat = "
        "\"cabin/meter\"\n[[source.channel]]\nmeasures = \"voltage\"\nfield = \"/battery/voltage\"\n"
        "[[source.channel]]\nmeasures = \"current\"\nfield = \"/battery/current\"\nunit = \"mA\"\npositive = "
        "\"discharging\"\n[[source.channel]]\nmeasures = \"temperature\"\ntopic = \"cabin/probe\"\nof = "
        "\"probe\"\nwhose = \"shelf\"\n",
        port);
}

/// Someone else at the broker, on the loop of the bench.
class Sender {
public:
    Sender(Bench& bench, int port)
        : client_(bench.loop, {"127.0.0.1", port, {}, {}}, std::nullopt, {.connected = [this] { connected_ = true; }}) {
        client_.connect();
        EXPECT_TRUE(bench.run_until([&] { return connected_; }));
    }
    void send(const std::string& topic, const std::string& payload, bool retained = false) {
        EXPECT_TRUE(client_.publish({topic, payload, 1, retained}));
    }

private:
    bool connected_ = false;
    mqtt::Client client_;
};

// Subscribed for sure once a probe has come through.
void wait_for_source(Bench& bench, Sender& sender) {
    ASSERT_TRUE(bench.run_until([&] { return bench.source->health().state == SourceState::running; }))
        << bench.source->health().trouble;
    ASSERT_TRUE(bench.run_until([&] {
        sender.send("cabin/probe", "20.0");
        return !bench.all.empty();
    }));
    bench.loop.run_for(std::chrono::milliseconds(300));
    bench.all.clear();
}

TEST(MqttSource, ReadsNumbersOutOfJsonAndBareOnes) {
    const BrokerProcess broker;
    Bench bench(tables(broker.port()));
    Sender sender(bench, broker.port());
    wait_for_source(bench, sender);
    sender.send("cabin/meter", R"({"battery": {"voltage": 13.25, "current": 12345}, "more": [1, 2]})");
    sender.send("cabin/probe", "21.5");
    ASSERT_TRUE(bench.run_until_samples(3));
    EXPECT_THAT(bench.values(),
                ElementsAre(DoubleNear(13.25, 1e-9), DoubleNear(-12.345, 1e-9), DoubleNear(21.5, 1e-9)));
    EXPECT_EQ(bench.all[0].at, bench.all[1].at);
}

TEST(MqttSource, WhatIsNoReadingIsRefusedOrLeftOut) {
    const BrokerProcess broker;
    Bench bench(tables(broker.port()));
    Sender sender(bench, broker.port());
    wait_for_source(bench, sender);
    const auto refused = bench.source->health().refused;
    sender.send("cabin/probe", "warm");
    sender.send("cabin/probe", "nan");
    sender.send("cabin/probe", "");
    sender.send("cabin/probe", "1e999");
    sender.send("cabin/probe", "99999");  // no temperature of this world
    sender.send("cabin/meter", R"({"battery": {"voltage": null, "current": "x"}})");
    sender.send("cabin/meter", "{\"battery\"");
    sender.send("cabin/meter", std::string(100'000, '['));
    sender.send("cabin/other", "12");
    sender.send("cabin/probe", "21.5");
    ASSERT_TRUE(bench.run_until_samples(1));
    EXPECT_THAT(bench.values(), ElementsAre(DoubleNear(21.5, 1e-9)));
    EXPECT_EQ(bench.source->health().refused - refused, 7U)
        << "warm, 1e999, 99999, the current x, half an object for two channels, and the long one";
}

TEST(MqttSource, WhatTheBrokerKeptIsOfAnUnknownAge) {
    const BrokerProcess broker;
    boost::asio::io_context loop;
    bool connected = false;
    mqtt::Client before(loop, {"127.0.0.1", broker.port(), {}, {}}, std::nullopt,
                        {.connected = [&] { connected = true; }});
    before.connect();
    while (!connected) loop.run_one_for(std::chrono::milliseconds(20));
    ASSERT_TRUE(before.publish({"cabin/probe", "77.0", 1, true}));
    before.take_leave();
    Bench bench(tables(broker.port()));
    Sender sender(bench, broker.port());
    wait_for_source(bench, sender);
    for (const auto& sample : bench.all) EXPECT_NE(sample.value, 77.0);
    sender.send("cabin/probe", "21.0", true);
    ASSERT_TRUE(bench.run_until_samples(1)) << "what is sent now counts, kept or not";
    EXPECT_EQ(bench.all.back().value, 21.0);
}

TEST(MqttSource, ComesBackWhenTheBrokerDoes) {
    BrokerProcess broker;
    Bench bench(tables(broker.port()));
    ASSERT_TRUE(bench.run_until([&] { return bench.source->health().state == SourceState::running; }));
    broker.stop();
    ASSERT_TRUE(bench.run_until([&] { return bench.source->health().errors > 0; }));
    EXPECT_THAT(bench.source->health().trouble, HasSubstr("127.0.0.1"));
    broker.start();
    ASSERT_TRUE(bench.run_until([&] { return bench.source->health().reconnects == 1; }));
    Sender sender(bench, broker.port());
    wait_for_source(bench, sender);
    EXPECT_EQ(bench.source->health().trouble, "");
}

TEST(MqttSource, ABrokerThatRefusesIsTold) {
    const BrokerProcess broker("allow_anonymous false\n");
    Bench bench(tables(broker.port()));
    ASSERT_TRUE(bench.run_until([&] { return bench.source->health().errors > 0; }));
    EXPECT_THAT(bench.source->health().trouble, HasSubstr("the broker refuses"));
}

TEST(MqttClient, WhoTakesLeaveIsNotReportedLost) {
    const BrokerProcess broker;
    boost::asio::io_context loop;
    std::vector<std::string> heard;
    int ready = 0;
    mqtt::Client listener(
        loop, {"127.0.0.1", broker.port(), {}, {}}, std::nullopt,
        {.connected = [&] { ++ready; }, .message = [&](const mqtt::Message& m) { heard.push_back(m.payload); }});
    listener.connect();
    mqtt::Client other(loop, {"127.0.0.1", broker.port(), {}, {}}, mqtt::Message{"van/state", "lost", 1, false},
                       {.connected = [&] { ++ready; }});
    other.connect();
    while (ready < 2) loop.run_one_for(std::chrono::milliseconds(20));
    listener.subscribe("van/state");
    loop.run_for(std::chrono::milliseconds(300));
    ASSERT_TRUE(other.publish({"van/state", "ready", 1, false}));
    loop.run_for(std::chrono::milliseconds(300));
    other.take_leave();
    loop.run_for(std::chrono::milliseconds(300));
    EXPECT_THAT(heard, ElementsAre("ready"));
    EXPECT_FALSE(other.publish({"van/state", "late", 1, false}));
}

}  // namespace
}  // namespace amphora::live

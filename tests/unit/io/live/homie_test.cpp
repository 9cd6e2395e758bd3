// The Homie 5 convention (github.com/homieiot/convention, convention.md at 063301d6): identifiers, the description, the
// order init, description, ready, and the last will; the latter two against Debian's mosquitto.
#include "io/live/homie.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <sys/wait.h>
#include <unistd.h>

#include <boost/asio/io_context.hpp>
#include <map>
#include <nlohmann/json.hpp>

#include "io/describe/describe.hpp"
#include "support/broker.hpp"

namespace amphora::live {
namespace {

System system_with(const std::string& more) {
    const auto described = describe::describe_text(
        "[system]\nname = \"Blue Heron\"\n[battery]\nchemistry = \"lfp\"\ndesign_capacity_ah = 200\n[[charger]]\nname "
        "= "
        "\"roof\"\nkind = \"shore\"\ncurrent_a = 20\n[[source]]\nname = \"van\"\nkind = \"twin\"\n[[source.channel]]\n"
        "measures = \"voltage\"\n[[source.channel]]\nmeasures = \"current\"\nof = \"charger\"\nwhose = \"roof\"\n" +
        more);
    return described.value().system;
}

/// What a recorder would show of that system.
struct Scene {
    std::vector<guard::Seen> seen{2};
    guard::Situation situation;
    Scene() {
        seen[0].measures = Measurand::voltage;
        seen[0].value = 13.25;
        seen[1].measures = Measurand::current;
        seen[1].of = Subject::charger;
        seen[1].whose = "roof";
        seen[1].value = 7.126;
        situation.seen = seen;
        situation.now = BootTime{100'000'000};
        situation.state_of_charge = {Fraction(0.62), Fraction(0.02)};
    }
};

TEST(Homie, IdentifiersAreLowerCaseLettersDigitsAndHyphens) {
    EXPECT_EQ(homie_id("Blue Heron 2"), "blue-heron-2");
    EXPECT_EQ(homie_id("  --Möwe!"), "m-we");
    EXPECT_EQ(homie_id("\xF0\x9F\x9A\x90"), "amphora");
}

TEST(Homie, TheDescriptionNamesEveryValue) {
    const System system = system_with("");
    const auto json = nlohmann::json::parse(homie_description(system));
    EXPECT_EQ(json["homie"], "5.0");
    EXPECT_EQ(json["nodes"]["battery"]["properties"]["voltage"]["unit"], "V");
    EXPECT_EQ(json["nodes"]["battery"]["properties"]["state-of-charge"]["datatype"], "float");
    EXPECT_EQ(json["nodes"]["roof"]["properties"]["current"]["unit"], "A");
    for (const HomieValue& v : homie_values(system, Scene().situation)) {
        const auto slash = v.topic.find('/');
        EXPECT_TRUE(json["nodes"][v.topic.substr(0, slash)]["properties"].contains(v.topic.substr(slash + 1)))
            << v.topic;
    }
}

TEST(Homie, ToldIsWhatIsKnown) {
    const System system = system_with("");
    Scene scene;
    std::map<std::string, std::string> told;
    for (const auto& v : homie_values(system, scene.situation)) told[v.topic] = v.value;
    EXPECT_EQ(told["battery/voltage"], "13.250");
    EXPECT_EQ(told["roof/current"], "7.13");
    EXPECT_EQ(told["battery/state-of-charge"], "62.0");
    EXPECT_FALSE(told.contains("battery/time-to-empty"));
    scene.seen[0].silent = true;
    for (const auto& v : homie_values(system, scene.situation)) EXPECT_NE(v.topic, "battery/voltage");
}

/// Tells for two seconds and then vanishes without a word, as when the power goes.
[[noreturn]] void tell_and_vanish(const System& system) {
    boost::asio::io_context loop(1);
    HomieOutput output(loop, computer_clock(), system);
    Scene scene;
    for (int i = 0; i < 40; ++i) {
        loop.run_for(std::chrono::milliseconds(50));
        scene.situation.now = scene.situation.now + Second(1.0);
        output.look(scene.situation);
    }
    ::_exit(0);
}

TEST(Homie, ADeviceThatVanishesIsLost) {
    const BrokerProcess broker;
    const System system = system_with("[broker]\nhost = \"127.0.0.1\"\nport = " + std::to_string(broker.port()) + "\n");
    boost::asio::io_context loop(1);
    std::vector<std::string> states;
    std::map<std::string, std::string> told;
    bool listening = false;
    mqtt::Client* self = nullptr;
    mqtt::Ears ears;
    ears.connected = [&] {
        self->subscribe("homie/5/#");
        self->subscribe("echo");
        (void)self->publish({.topic = "echo", .payload = "anyone?"});
    };
    ears.message = [&](const mqtt::Message& m) {
        listening = true;  // the broker knows of all that was subscribed to before
        told[m.topic] = m.payload;
        if (m.topic.ends_with("$state")) states.push_back(m.payload);
    };
    mqtt::Client client(loop, {"127.0.0.1", broker.port(), {}, {}}, std::nullopt, std::move(ears));
    self = &client;
    client.connect();
    for (int i = 0; i < 100 && !listening; ++i) loop.run_one_for(std::chrono::milliseconds(50));
    ASSERT_TRUE(listening);
    const pid_t device = ::fork();
    if (device == 0) tell_and_vanish(system);
    for (int i = 0; i < 400 && (states.empty() || states.back() != "lost"); ++i)
        loop.run_one_for(std::chrono::milliseconds(50));
    ::waitpid(device, nullptr, 0);
    EXPECT_THAT(states, testing::ElementsAre("init", "ready", "lost"));
    EXPECT_EQ(told["homie/5/blue-heron/battery/voltage"], "13.250");
    EXPECT_EQ(told["homie/5/blue-heron/roof/current"], "7.13");
    EXPECT_EQ(nlohmann::json::parse(told["homie/5/blue-heron/$description"])["name"], "Blue Heron");
    client.take_leave();
}

}  // namespace
}  // namespace amphora::live

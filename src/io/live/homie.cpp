#include "io/live/homie.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>
#include <set>

#include "io/source/channel_unit.hpp"

namespace amphora::live {
namespace {

using Json = nlohmann::ordered_json;

/// A float as the convention wants it: digits and a point, rounded to what anyone can use.
std::string number(double value, int decimals) { return fmt::format("{:.{}f}", value, decimals); }

int decimals_of(Measurand measures) {
    switch (measures) {
        case Measurand::voltage:
        case Measurand::cell_voltage:
            return 3;
        case Measurand::current:
        case Measurand::shunt_drop:
            return 2;
        case Measurand::temperature:
        case Measurand::power:
            return 1;
        case Measurand::state_of_charge:
            break;
    }
    return 3;
}

std::string node_of(Subject of, const std::string& whose, const std::string& source) {
    if (of == Subject::battery) return "battery";
    return homie_id(whose.empty() ? source : whose);
}

std::string property_of(Measurand measures, int cell) {
    if (measures == Measurand::shunt_drop) measures = Measurand::current;
    if (measures == Measurand::cell_voltage) return fmt::format("cell-voltage-{}", cell);
    // A battery's own word on its charge is not this program's estimate.
    if (measures == Measurand::state_of_charge) return "reported-charge";
    return std::string(source::word(measures));
}

Json property(std::string_view name, std::string_view unit) {
    Json json{{"name", name}, {"datatype", "float"}, {"settable", false}, {"retained", true}};
    if (!unit.empty()) json["unit"] = unit;
    return json;
}

}  // namespace

std::string homie_id(std::string_view name) {
    std::string id;
    for (const char c : name) {
        const char low = c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
        if ((low >= 'a' && low <= 'z') || (low >= '0' && low <= '9'))
            id += low;
        else if (!id.empty() && id.back() != '-')
            id += '-';
    }
    while (!id.empty() && id.back() == '-') id.pop_back();
    return id.empty() ? "amphora" : id;
}

std::string homie_description(const System& system) {
    Json nodes = Json::object();
    Json& battery = nodes["battery"];
    battery = {{"name", "Battery"}, {"properties", Json::object()}};
    battery["properties"]["state-of-charge"] = property("State of charge", "%");
    battery["properties"]["state-of-charge-band"] = property("Half the 90 % band of the state of charge", "%");
    battery["properties"]["time-to-empty"] = property("Time to the reserve", "s");
    battery["properties"]["time-to-empty-earliest"] = property("Time to the reserve, at the earliest", "s");
    battery["properties"]["reading-age"] = property("Age of the newest reading", "s");
    for (const described::Channel& c : system.live.channels) {
        const std::string node = node_of(c.of, c.whose, system.live.sources[c.source].name);
        if (!nodes.contains(node))
            nodes[node] = {{"name", c.whose.empty() ? node : c.whose}, {"properties", Json::object()}};
        const bool drop = c.measures == Measurand::shunt_drop;
        const std::string name = property_of(c.measures, c.cell);
        nodes[node]["properties"][name] = property(name, source::own_unit(drop ? Measurand::current : c.measures));
    }
    const Json device{{"homie", "5.0"}, {"version", 1}, {"name", system.name}, {"nodes", std::move(nodes)}};
    return device.dump(-1, ' ', false, Json::error_handler_t::replace);
}

std::vector<HomieValue> homie_values(const System& system, const guard::Situation& situation) {
    std::vector<HomieValue> values;
    std::set<std::string> known;  // the first source of a figure is told, the spare ones only while it is silent
    const auto put = [&](const std::string& topic, double value, int decimals) {
        if (std::isfinite(value) && known.insert(topic).second) values.push_back({topic, number(value, decimals)});
    };
    put("battery/state-of-charge", situation.state_of_charge.mean.value() * 100.0, 1);
    put("battery/state-of-charge-band", situation.state_of_charge.sd.value() * band90 * 100.0, 1);
    put("battery/time-to-empty", situation.to_empty.likely.value(), 0);
    put("battery/time-to-empty-earliest", situation.to_empty.low.value(), 0);
    put("battery/reading-age", situation.age.value(), 0);
    for (std::size_t i = 0; i < situation.seen.size() && i < system.live.channels.size(); ++i) {
        const guard::Seen& seen = situation.seen[i];
        if (seen.silent) continue;
        put(node_of(seen.of, seen.whose, seen.source) + "/" + property_of(seen.measures, seen.cell), seen.value,
            decimals_of(seen.measures));
    }
    return values;
}

HomieOutput::HomieOutput(boost::asio::io_context& loop, const BootClock& clock, const System& system)
    : loop_(loop),
      clock_(clock),
      system_(system),
      root_(fmt::format("{}/5/{}", system.live.broker.domain, homie_id(system.name))),
      timer_(loop) {
    const auto& broker = system.live.broker;
    mqtt::Ears ears;
    ears.connected = [this] { greet(); };
    ears.lost = [this](const std::string& why) { try_again(why); };
    client_ = std::make_unique<mqtt::Client>(
        loop, mqtt::Login{broker.host, broker.port, broker.user, broker.password_file},
        mqtt::Message{.topic = root_ + "/$state", .payload = "lost", .quality = 1, .retained = true}, std::move(ears));
    client_->connect();
}

void HomieOutput::greet() {
    connected_ = true;
    ++connections_;
    pause_ = Second(1.0);
    trouble_.clear();
    told_.clear();
    publish("$state", "init", 1);
    publish("$description", homie_description(system_), 1);
    publish("$state", "ready", 1);
}

void HomieOutput::try_again(const std::string& why) {
    connected_ = false;
    trouble_ = why;
    timer_.expires_after(clock_.wait(pause_));
    pause_ = pause_ * 2.0 < Second(60.0) ? pause_ * 2.0 : Second(60.0);
    timer_.async_wait([this](boost::system::error_code error) {
        if (!error) client_->connect();
    });
}

void HomieOutput::publish(const std::string& topic, const std::string& payload, int quality) {
    (void)client_->publish({.topic = root_ + "/" + topic, .payload = payload, .quality = quality, .retained = true});
}

void HomieOutput::look(const guard::Situation& situation) {
    if (!connected_ || situation.now - told_at_ < Second(1.0)) return;
    told_at_ = situation.now;
    if (situation.now - all_told_at_ >= Second(60.0)) {
        all_told_at_ = situation.now;
        told_.clear();
    }
    for (const HomieValue& v : homie_values(system_, situation)) {
        std::string& told = told_[v.topic];
        if (told == v.value) continue;
        publish(v.topic, v.value, 0);
        told = v.value;
    }
}

void HomieOutput::offer_requests(const Offer& offer) {
    offer("broker", [this](const Json&) -> Json {
        return {{"connected", connected_}, {"connections", connections_}, {"topic", root_}, {"trouble", trouble_}};
    });
}

void HomieOutput::end() {
    timer_.cancel();
    if (connected_) publish("$state", "disconnected", 1);
    client_->take_leave();
}

}  // namespace amphora::live

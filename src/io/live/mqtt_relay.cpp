#include "io/live/mqtt_relay.hpp"

namespace amphora::live {

MqttRelay::MqttRelay(BrokerLink& link, const described::Relay& settings) : link_(link), settings_(settings) {
    link_.when_connected([this] { send(); });
    if (!settings_.confirm_topic.empty())
        link_.listen(settings_.confirm_topic, [this](const std::string& payload) { heard(payload); });
}

void MqttRelay::order(bool on) {
    wanted_ = on;
    ++standing_.orders;
    send();
}

void MqttRelay::send() {
    if (!wanted_) return;
    if (link_.send(settings_.at, *wanted_ ? settings_.payload_on : settings_.payload_off)) {
        standing_.commanded = wanted_;
        wanted_.reset();
    } else {
        ++standing_.failures;
    }
}

// What is neither word says nothing.
void MqttRelay::heard(const std::string& payload) {
    if (payload == settings_.payload_on) standing_.confirmed = true;
    if (payload == settings_.payload_off) standing_.confirmed = false;
}

// Without the broker nobody knows how it stands.
sink::RelayStanding MqttRelay::standing() const {
    sink::RelayStanding standing = standing_;
    if (!link_.connected()) {
        standing.confirmed.reset();
        standing.trouble = link_.trouble();
    }
    return standing;
}

}  // namespace amphora::live

// A relay that listens to a topic of the MQTT broker, and may say on another how it stands.
#pragma once

#include "core/system/protection.hpp"
#include "io/live/broker_link.hpp"
#include "io/sink/relay.hpp"

namespace amphora::live {

class MqttRelay : public sink::Relay {
public:
    /// The link must outlive it.
    MqttRelay(BrokerLink& link, const described::Relay& settings);

    void order(bool on) override;
    [[nodiscard]] sink::RelayStanding standing() const override;

private:
    void send();
    void heard(const std::string& payload);

    BrokerLink& link_;
    described::Relay settings_;
    std::optional<bool> wanted_;  // and not yet sent
    sink::RelayStanding standing_;
};

}  // namespace amphora::live

// Readings from messages of an MQTT broker: each channel has a topic, and the number is the payload or a place in its
// JSON.
#pragma once

#include <cstdint>
#include <memory>
#include <string>

#include "io/live/plug_source.hpp"
#include "io/mqtt/client.hpp"

namespace amphora::live {

class MqttSource : public PlugSource {
public:
    using PlugSource::PlugSource;

protected:
    void open() override;
    void close() override;

private:
    void subscribe();
    void message(const mqtt::Message& message);
    [[nodiscard]] const std::string& topic_of(const PlugChannel& channel) const;

    std::unique_ptr<mqtt::Client> client_;
    std::uint64_t counted_ = 0;  // of the client's dropped messages
};

}  // namespace amphora::live

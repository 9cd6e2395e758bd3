#include "io/live/mqtt_source.hpp"

#include <nlohmann/json.hpp>
#include <set>

#include "io/source/json_figure.hpp"

namespace amphora::live {

const std::string& MqttSource::topic_of(const PlugChannel& channel) const {
    return channel.description->topic.empty() ? description().at : channel.description->topic;
}

void MqttSource::open() {
    const auto& broker = system().live.broker;
    const auto mine = run();
    client_ = std::make_unique<mqtt::Client>(
        loop(), mqtt::Login{broker.host, broker.port, broker.user, broker.password_file}, std::nullopt,
        mqtt::Ears{.connected =
                       [this, mine] {
                           if (mine == run()) subscribe();
                       },
                   .lost =
                       [this, mine](const std::string& why) {
                           if (mine == run()) broken(why);
                       },
                   .message =
                       [this, mine](const mqtt::Message& m) {
                           if (mine == run()) message(m);
                       }});
    counted_ = 0;
    client_->connect();
}

void MqttSource::close() { client_.reset(); }

void MqttSource::subscribe() {
    opened();
    std::set<std::string> topics;
    for (const auto& channel : channels()) topics.insert(topic_of(channel));
    for (const auto& topic : topics) client_->subscribe(topic);
}

// What the broker kept from before is of an unknown age: nothing to measure by.
void MqttSource::message(const mqtt::Message& message) {
    for (; counted_ < client_->dropped(); ++counted_) refuse();
    if (message.retained || message.payload.empty()) return;
    auto document = nlohmann::json::parse(message.payload, nullptr, false);
    const bool is_json = !document.is_discarded();
    if (!is_json) document = message.payload;  // text such as "nan" or "+13.2" may still be a bare figure
    for (std::size_t i = 0; i < channels().size(); ++i) {
        const auto& field = channels()[i].description->field;
        if (topic_of(channels()[i]) != message.topic) continue;
        const auto figure = source::figure_at(document, field);
        if (figure)
            take(i, *figure);
        else if (figure.error() == source::FigureFault::not_a_number || (!is_json && !field.empty()))
            refuse();
    }
    deliver();
}

}  // namespace amphora::live

#include "io/live/broker_link.hpp"

#include <algorithm>
#include <chrono>
#include <utility>

namespace amphora::live {
namespace {

constexpr std::size_t most_waiting = 100;
constexpr Second longest_pause{60.0};
constexpr int at_least_once = 1;

}  // namespace

BrokerLink::BrokerLink(boost::asio::io_context& loop, const described::Broker& broker)
    : timer_(loop),
      client_(loop, {broker.host, broker.port, broker.user, broker.password_file}, std::nullopt,
              {.connected = [this] { on_connected(); },
               .lost = [this](const std::string& why) { on_lost(why); },
               .message =
                   [this](const mqtt::Message& message) {
                       const auto at = listeners_.find(message.topic);
                       if (at == listeners_.end()) return;
                       for (const auto& heard : at->second) heard(message.payload);
                   }}) {
    client_.connect();
}

void BrokerLink::listen(const std::string& topic, std::function<void(const std::string& payload)> heard) {
    listeners_[topic].push_back(std::move(heard));
}

void BrokerLink::on_connected() {
    connected_ = true;
    trouble_.clear();
    pause_ = Second(1.0);
    for (const auto& [topic, heard] : listeners_) client_.subscribe(topic);
    for (const auto& task : tasks_) task();
    flush();
}

void BrokerLink::on_lost(const std::string& why) {
    connected_ = false;
    trouble_ = why;
    timer_.expires_after(std::chrono::milliseconds(static_cast<std::int64_t>(pause_.value() * 1e3)));
    pause_ = std::min(pause_ * 2.0, longest_pause);
    timer_.async_wait([this](boost::system::error_code error) {
        if (!error) client_.connect();
    });
}

bool BrokerLink::send(const std::string& topic, const std::string& payload) {
    return connected_ && client_.publish({topic, payload, at_least_once, false});
}

void BrokerLink::post(const std::string& topic, std::function<std::string()> payload, std::function<void()> arrived) {
    if (waiting_.size() >= most_waiting) {
        waiting_.pop_front();
        ++dropped_;
    }
    waiting_.push_back({topic, std::move(payload), std::move(arrived)});
    flush();
}

void BrokerLink::flush() {
    while (connected_ && !waiting_.empty()) {
        const Waiting& next = waiting_.front();
        if (!client_.publish({next.topic, next.payload(), at_least_once, false}, next.arrived)) return;
        waiting_.pop_front();
    }
}

}  // namespace amphora::live

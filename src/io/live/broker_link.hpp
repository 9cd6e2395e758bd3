// The guards' line to the MQTT broker: comes back after trouble, and keeps what must arrive until it can be sent.
#pragma once

#include <boost/asio/io_context.hpp>
#include <boost/asio/steady_timer.hpp>
#include <deque>
#include <functional>
#include <map>
#include <optional>
#include <string>

#include "core/system/live.hpp"
#include "io/mqtt/client.hpp"

namespace amphora::live {

class BrokerLink {
public:
    BrokerLink(boost::asio::io_context& loop, const described::Broker& broker);
    BrokerLink(const BrokerLink&) = delete;
    BrokerLink& operator=(const BrokerLink&) = delete;
    ~BrokerLink() { client_.take_leave(); }

    /// Calls `heard` with every payload of a topic, in the loop's thread. Before the loop runs.
    void listen(const std::string& topic, std::function<void(const std::string& payload)> heard);
    /// Calls `task` whenever the connection stands anew.
    void when_connected(std::function<void()> task) { tasks_.push_back(std::move(task)); }

    /// Sends now, or not at all: for orders, which a newer one may overtake.
    bool send(const std::string& topic, const std::string& payload);
    /// Sends as soon as it can what `payload` says then; of more than a hundred that wait the oldest are dropped.
    /// `arrived` is called when the broker has it, from any thread.
    void post(const std::string& topic, std::function<std::string()> payload, std::function<void()> arrived);

    [[nodiscard]] bool connected() const { return connected_; }
    [[nodiscard]] const std::string& trouble() const { return trouble_; }
    [[nodiscard]] std::size_t waiting() const { return waiting_.size(); }
    [[nodiscard]] std::uint64_t dropped() const { return dropped_; }

private:
    void on_connected();
    void on_lost(const std::string& why);
    void flush();

    std::map<std::string, std::vector<std::function<void(const std::string&)>>> listeners_;
    std::vector<std::function<void()>> tasks_;
    struct Waiting {
        std::string topic;
        std::function<std::string()> payload;
        std::function<void()> arrived;
    };
    std::deque<Waiting> waiting_;
    std::uint64_t dropped_ = 0;
    bool connected_ = false;
    std::string trouble_;
    Second pause_{1.0};
    boost::asio::steady_timer timer_;
    mqtt::Client client_;
};

}  // namespace amphora::live

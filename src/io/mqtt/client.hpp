// A client of an MQTT broker. The library waits for the network on a thread of its own; what it hears comes to the
// loop.
#pragma once

#include <boost/asio/executor_work_guard.hpp>
#include <boost/asio/io_context.hpp>
#include <cstdint>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <string_view>

namespace amphora::mqtt {

struct Login {
    std::string host;
    int port = 1883;
    std::string user;           // empty: none
    std::string password_file;  // its first line is the password; empty: none
};

struct Message {
    std::string topic;
    std::string payload;
    int quality = 0;        // of service: 0, 1 or 2
    bool retained = false;  // to be kept by the broker; or, when it comes in, kept by it from before
};

/// What a client hears. All are called in the loop's thread; those that are empty are not called.
struct Ears {
    std::function<void()> connected{};
    std::function<void(const std::string& why)> lost{};  // could not connect, or not any more; once per connect()
    std::function<void(const Message&)> message{};
};

/// Longer messages are dropped: a meter's are some hundred bytes.
constexpr std::size_t longest_payload = std::size_t{64} * 1024;

class Client {
public:
    /// `will` is what the broker tells others when this client vanishes without a word.
    Client(boost::asio::io_context& loop, Login login, std::optional<Message> will, Ears ears);
    Client(const Client&) = delete;
    Client& operator=(const Client&) = delete;
    /// Nothing is heard afterwards. The side thread says goodbye to the broker, but is not waited for.
    ~Client();
    /// The same at the end of the program: waits for the goodbye, no longer than a second.
    void take_leave();

    /// Tries once, and returns at once: `connected` or `lost` will tell. Call again after `lost`.
    void connect();
    /// Asks for a topic. Only while connected; anew after each connect().
    void subscribe(const std::string& topic);
    /// Sends. False if there is no connection or too much waits to be sent already: nothing is kept for later.
    /// `arrived` is called from the side thread once the broker has it, should it have a quality of 1 or 2; after a
    /// lost connection it is sent again with the next.
    bool publish(const Message& message, std::function<void()> arrived = {});

    /// Messages that came in but were dropped: too long, or more than the loop kept up with.
    [[nodiscard]] std::uint64_t dropped() const;

    struct Shared;

private:
    std::shared_ptr<Shared> shared_;
    boost::asio::executor_work_guard<boost::asio::io_context::executor_type> hope_;  // the loop waits for what is heard
};

}  // namespace amphora::mqtt

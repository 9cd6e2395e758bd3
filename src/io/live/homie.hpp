// Tells an MQTT broker's other clients what is measured, by the Homie 5 convention (github.com/homieiot/convention).
#pragma once

#include <boost/asio/io_context.hpp>
#include <boost/asio/steady_timer.hpp>
#include <map>
#include <memory>
#include <string>
#include <string_view>
#include <vector>

#include "core/system/system.hpp"
#include "io/live/boot_clock.hpp"
#include "io/live/watch.hpp"
#include "io/mqtt/client.hpp"

namespace amphora::live {

/// A name as the convention wants an identifier: lower-case letters, digits and hyphens.
[[nodiscard]] std::string homie_id(std::string_view name);

/// One figure that is told.
struct HomieValue {
    std::string topic;  // node/property
    std::string value;
};

/// The device's description: nodes and properties with their units.
[[nodiscard]] std::string homie_description(const System& system);

/// What is known now; what is not known or silent is left out.
[[nodiscard]] std::vector<HomieValue> homie_values(const System& system, const guard::Situation& situation);

/// Publishes what changed, at most once a second, and everything once a minute. A broker that is away is tried again
/// and never waited for.
class HomieOutput : public Watch {
public:
    HomieOutput(boost::asio::io_context& loop, const BootClock& clock, const System& system);

    void look(const guard::Situation& situation) override;
    void offer_requests(const Offer& offer) override;
    void end() override;

private:
    void greet();
    void try_again(const std::string& why);
    void publish(const std::string& topic, const std::string& payload, int quality);

    boost::asio::io_context& loop_;
    const BootClock& clock_;
    const System& system_;
    std::string root_;
    std::unique_ptr<mqtt::Client> client_;
    boost::asio::steady_timer timer_;
    bool connected_ = false;
    Second pause_{1.0};
    std::string trouble_;
    std::map<std::string, std::string> told_;
    BootTime told_at_, all_told_at_;
    std::uint64_t connections_ = 0;
};

}  // namespace amphora::live

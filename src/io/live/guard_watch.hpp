// The guards beside the recorder: they see every reading, switch the relays and tell whom they must. What takes time is
// done by threads and connections of their own. One thing is waited for, 20 ms at most: that a trip and whom it owes a
// notice are written down before anything is done about it, so that a kill at any moment forgets neither. The device
// gets it at the same time as the relay its order.
#pragma once

#include <boost/asio/io_context.hpp>
#include <deque>
#include <filesystem>
#include <memory>
#include <string>
#include <vector>

#include "core/guard/guards.hpp"
#include "core/system/system.hpp"
#include "io/live/broker_link.hpp"
#include "io/live/guard_state.hpp"
#include "io/live/teller.hpp"
#include "io/live/unsafe_acts.hpp"
#include "io/live/watch.hpp"
#include "io/record/local_days.hpp"
#include "io/sink/errands.hpp"
#include "io/sink/kept_text.hpp"
#include "io/sink/relay.hpp"

namespace amphora::live {

struct GuardSettings {
    std::filesystem::path state;  // which rules are tripped and what is not yet told; empty: not kept over a restart
    record::LocalDays days = record::LocalDays::utc();
};

class GuardWatch : public Watch, private guard::Listener {
public:
    GuardWatch(boost::asio::io_context& loop, const System& system, GuardSettings settings);
    ~GuardWatch() override;

    void look(const guard::Situation& situation) override;
    void offer_requests(const Offer& offer) override;
    void keep_acts(ActBook book) override { acts_.keep_in(std::move(book)); }
    /// Relays whose safe state is on or off go there; waits for at most a second.
    void end() override;

    /// A relay of another make in place of the described one; before the first look.
    void replace_relay(std::size_t i, std::unique_ptr<sink::Relay> relay) { relays_[i] = std::move(relay); }
    [[nodiscard]] const guard::Guards& guards() const { return guards_; }

private:
    void on(const guard::Event& event) override { round_.push_back(event); }
    void carry_out();
    void note(const guard::Event& event);
    void act(const guard::Event& event);
    void keep(const guard::Event& event);
    void owe(const guard::Event& event, bool tripped);
    void start_program(const guard::Event& event, bool tripped);
    void keep_state();
    [[nodiscard]] GuardState state() const;
    void restore(GuardState left);
    [[nodiscard]] std::optional<Instant> utc_at(BootTime at) const;
    [[nodiscard]] std::string remark(std::size_t rule) const;
    [[nodiscard]] nlohmann::ordered_json standing() const;
    [[nodiscard]] nlohmann::ordered_json clear(const nlohmann::ordered_json& arguments);

    const System& system_;
    GuardSettings settings_;
    guard::Guards guards_;
    std::unique_ptr<BrokerLink> broker_;  // where something goes by MQTT
    std::vector<std::unique_ptr<sink::Relay>> relays_;
    std::optional<Instant> utc_;
    BootTime looked_;
    std::optional<Instant> reading_past_since_;
    UnsafeActs acts_;
    std::vector<guard::Event> round_;  // of the look under way
    std::int64_t offset_hour_ = -1;
    std::deque<nlohmann::ordered_json> past_;       // the newest events
    std::vector<std::optional<Instant>> happened_;  // when each rule tripped or cleared last
    std::optional<nlohmann::ordered_json> left_;    // by an earlier run, that it could not tell; until the first look
    Teller teller_;
    sink::Errands programs_{20};
    std::optional<sink::KeptText> kept_;  // nothing where the state is not kept
};

}  // namespace amphora::live

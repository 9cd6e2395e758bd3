// Gives a wire that must be waited for a thread of its own.
#pragma once

#include <chrono>
#include <condition_variable>
#include <memory>
#include <mutex>
#include <thread>

#include "io/sink/relay.hpp"

namespace amphora::sink {

class ThreadedRelay : public Relay {
public:
    /// Looks at the read-back after each order and every `look_every`.
    ThreadedRelay(std::unique_ptr<RelayWire> wire, std::chrono::milliseconds look_every);
    ~ThreadedRelay() override;

    void order(bool on) override;
    [[nodiscard]] RelayStanding standing() const override;

private:
    void work();
    void carry_out(bool on);
    void look();

    std::unique_ptr<RelayWire> wire_;
    std::chrono::milliseconds look_every_;
    mutable std::mutex mutex_;
    std::condition_variable changed_;
    std::optional<bool> wanted_;  // and not yet done
    bool ending_ = false;
    RelayStanding standing_;
    std::chrono::milliseconds pause_{};
    std::thread thread_;
};

}  // namespace amphora::sink

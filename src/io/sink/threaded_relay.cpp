#include "io/sink/threaded_relay.hpp"

#include <algorithm>
#include <utility>

namespace amphora::sink {
namespace {

using std::chrono::milliseconds;

constexpr milliseconds first_pause{200};
constexpr milliseconds longest_pause{5000};

class Rehearsal : public Relay {
public:
    void order(bool on) override {
        standing_.commanded = standing_.confirmed = on;
        ++standing_.orders;
    }
    [[nodiscard]] RelayStanding standing() const override { return standing_; }

private:
    RelayStanding standing_;
};

}  // namespace

std::unique_ptr<Relay> rehearsal_relay() { return std::make_unique<Rehearsal>(); }

ThreadedRelay::ThreadedRelay(std::unique_ptr<RelayWire> wire, milliseconds look_every)
    : wire_(std::move(wire)), look_every_(look_every), thread_([this] { work(); }) {}

ThreadedRelay::~ThreadedRelay() {
    {
        const std::scoped_lock lock(mutex_);
        ending_ = true;
    }
    changed_.notify_one();
    thread_.join();
}

void ThreadedRelay::order(bool on) {
    {
        const std::scoped_lock lock(mutex_);
        wanted_ = on;
        ++standing_.orders;
        pause_ = milliseconds(0);
    }
    changed_.notify_one();
}

RelayStanding ThreadedRelay::standing() const {
    const std::scoped_lock lock(mutex_);
    return standing_;
}

// An order that is there when the program ends is tried once more: it may be that of the safe state.
void ThreadedRelay::work() {
    std::unique_lock lock(mutex_);
    while (!ending_ || (wanted_ && pause_ == milliseconds(0))) {
        if (wanted_ && pause_ == milliseconds(0)) {
            const bool on = *wanted_;
            lock.unlock();
            carry_out(on);
            lock.lock();
            continue;
        }
        const auto wait = wanted_ ? pause_ : look_every_;
        const bool woken =
            changed_.wait_for(lock, wait, [this] { return ending_ || (wanted_ && pause_ == milliseconds(0)); });
        if (woken) continue;
        if (wanted_) {
            const bool on = *wanted_;
            lock.unlock();
            carry_out(on);
            lock.lock();
        } else if (standing_.commanded) {
            lock.unlock();
            look();
            lock.lock();
        }
    }
}

void ThreadedRelay::carry_out(bool on) {
    const auto done = wire_->put(on);
    {
        const std::scoped_lock lock(mutex_);
        if (done) {
            standing_.commanded = on;
            standing_.trouble.clear();
            if (wanted_ == on) wanted_.reset();
            pause_ = milliseconds(0);
        } else {
            ++standing_.failures;
            standing_.trouble = done.error();
            // A newer order that came meanwhile does not have to wait for this one's failure.
            if (wanted_ == on) pause_ = std::min(std::max(pause_ * 2, first_pause), longest_pause);
        }
    }
    if (done) look();
}

void ThreadedRelay::look() {
    const auto seen = wire_->look();
    const std::scoped_lock lock(mutex_);
    standing_.confirmed = seen ? *seen : std::nullopt;
    if (!seen) {
        ++standing_.failures;
        standing_.trouble = seen.error();
    } else if (!wanted_) {
        standing_.trouble.clear();
    }
}

}  // namespace amphora::sink

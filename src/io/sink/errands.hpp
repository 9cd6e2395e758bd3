// Things that take time, done one after the other on a thread of their own: who gives an errand never waits for it.
#pragma once

#include <chrono>
#include <condition_variable>
#include <cstdint>
#include <deque>
#include <expected>
#include <functional>
#include <mutex>
#include <stop_token>
#include <string>
#include <thread>

namespace amphora::sink {

/// Why an errand was not done, in words, and whether it is worth trying again.
struct ErrandFailure {
    std::string why;
    bool again = false;
};

/// One attempt. Must give up soon once a stop is requested.
using Errand = std::function<std::expected<void, ErrandFailure>(const std::stop_token& stop)>;

struct ErrandPauses {
    std::chrono::milliseconds first{1000};  // before the second attempt; doubles
    std::chrono::milliseconds longest{300'000};
};

struct ErrandCounts {
    std::uint64_t done = 0;
    std::uint64_t attempts_failed = 0;
    std::uint64_t given_up = 0;
    std::uint64_t dropped = 0;  // the oldest, when too many waited
    std::size_t waiting = 0;
    std::string trouble;  // the last error, in words; empty once one is done
};

class Errands {
public:
    /// At most `most` wait; a further one takes the place of the oldest.
    explicit Errands(std::size_t most, ErrandPauses pauses = {});
    Errands(const Errands&) = delete;
    Errands& operator=(const Errands&) = delete;
    /// What waits is dropped; the attempt under way is asked to stop.
    ~Errands() = default;

    /// Never waits for an errand.
    void add(Errand errand);
    [[nodiscard]] ErrandCounts counts() const;

private:
    void work(const std::stop_token& stop);
    [[nodiscard]] bool settle(const std::expected<void, ErrandFailure>& result);

    std::size_t most_;
    ErrandPauses pauses_;
    mutable std::mutex mutex_;
    std::condition_variable_any arrived_;
    std::deque<Errand> waiting_;
    ErrandCounts counts_;
    std::jthread thread_;  // last: it ends before what it uses
};

}  // namespace amphora::sink

#include "io/sink/errands.hpp"

#include <algorithm>
#include <utility>

namespace amphora::sink {

Errands::Errands(std::size_t most, ErrandPauses pauses)
    : most_(most), pauses_(pauses), thread_([this](const std::stop_token& stop) { work(stop); }) {}

void Errands::add(Errand errand) {
    {
        const std::scoped_lock lock(mutex_);
        if (waiting_.size() >= most_) {
            waiting_.pop_front();
            ++counts_.dropped;
        }
        waiting_.push_back(std::move(errand));
    }
    arrived_.notify_one();
}

ErrandCounts Errands::counts() const {
    const std::scoped_lock lock(mutex_);
    ErrandCounts counts = counts_;
    counts.waiting = waiting_.size();
    return counts;
}

/// True when the errand is over, one way or the other.
bool Errands::settle(const std::expected<void, ErrandFailure>& result) {
    const std::scoped_lock lock(mutex_);
    if (result) {
        ++counts_.done;
        counts_.trouble.clear();
        return true;
    }
    ++counts_.attempts_failed;
    counts_.trouble = result.error().why;
    if (!result.error().again) ++counts_.given_up;
    return !result.error().again;
}

void Errands::work(const std::stop_token& stop) {
    while (!stop.stop_requested()) {
        Errand errand;
        {
            std::unique_lock lock(mutex_);
            if (!arrived_.wait(lock, stop, [this] { return !waiting_.empty(); })) return;
            errand = std::move(waiting_.front());
            waiting_.pop_front();
        }
        auto pause = pauses_.first;
        while (!settle(errand(stop))) {
            std::unique_lock lock(mutex_);
            // Woken by nothing but the end: a new errand waits for its turn.
            arrived_.wait_for(lock, stop, pause, [] { return false; });
            if (stop.stop_requested()) return;
            pause = std::min(pause * 2, pauses_.longest);
        }
    }
}

}  // namespace amphora::sink

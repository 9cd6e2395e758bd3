#include "io/web/api/work.hpp"

#include <exception>
#include <utility>

namespace amphora::web {

bool Work::begin(std::string kind, std::function<Outcome(const Tell&)> task, std::function<void()> done) {
    {
        const std::lock_guard lock(guard_);
        if (standing_.state == State::working) return false;
    }
    collect();
    join();
    standing_ = {std::move(kind), State::working, 0, {}};
    done_ = std::move(done);
    thread_ = std::thread([this, task = std::move(task)] {
        Outcome outcome;
        try {
            outcome = task([this](double share) {
                const std::lock_guard lock(guard_);
                standing_.share = share;
            });
        } catch (const std::exception& fault) {
            outcome = {false, nullptr, std::string("It was broken off: ") + fault.what()};
        }
        const std::lock_guard lock(guard_);
        standing_.outcome = std::move(outcome);
        standing_.share = 1;
        standing_.state = State::done;
    });
    return true;
}

Work::Standing Work::standing() const {
    const std::lock_guard lock(guard_);
    return standing_;
}

void Work::collect() {
    if (standing().state != State::done || !done_) return;
    std::exchange(done_, {})();
}

void Work::join() {
    if (thread_.joinable()) thread_.join();
}

}  // namespace amphora::web

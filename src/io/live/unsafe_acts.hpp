// What guards and relays did and the record may not have yet: should the program be killed before it has, the next run
// puts it in.
#pragma once

#include <atomic>
#include <cstdint>
#include <deque>
#include <memory>
#include <vector>

#include "io/live/watch.hpp"
#include "io/record/guard_book.hpp"

namespace amphora::live {

class UnsafeActs {
public:
    /// What an earlier run left; before keep_in().
    void take_over(std::vector<record::GuardAct> left);
    /// Where acts go from now on, those that were left first.
    void keep_in(ActBook book);

    /// Keeps it in the book; nothing as long as there is none.
    void keep(BootTime at, record::GuardAct act);
    /// Takes note of what is safe meanwhile; true when something is.
    bool gather();

    /// The newest two hundred.
    [[nodiscard]] std::vector<record::GuardAct> all() const { return {acts_.begin(), acts_.end()}; }

private:
    void send(record::GuardAct act);

    ActBook book_;
    std::deque<record::GuardAct> acts_;
    std::uint64_t gone_ = 0;  // from the front of it
    std::shared_ptr<std::atomic<std::uint64_t>> safe_ = std::make_shared<std::atomic<std::uint64_t>>(0);
};

}  // namespace amphora::live

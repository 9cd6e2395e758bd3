#include "io/live/unsafe_acts.hpp"

#include <utility>

namespace amphora::live {
namespace {

constexpr std::size_t most_unsafe = 200;

}  // namespace

void UnsafeActs::take_over(std::vector<record::GuardAct> left) {
    for (auto& act : left) {
        act.of_this_boot = false;
        acts_.push_back(std::move(act));
    }
}

void UnsafeActs::keep_in(ActBook book) {
    book_ = std::move(book);
    for (const auto& act : acts_) send(act);
}

void UnsafeActs::keep(BootTime at, record::GuardAct act) {
    if (!book_.keep) return;
    act.at_us = book_.utc(at).us;
    acts_.push_back(act);
    if (acts_.size() > most_unsafe) {
        acts_.pop_front();
        ++gone_;
    }
    send(std::move(act));
}

void UnsafeActs::send(record::GuardAct act) {
    book_.keep(std::move(act), [safe = safe_] { ++*safe; });
}

// They become safe in the order in which they were kept.
bool UnsafeActs::gather() {
    bool some = false;
    for (const std::uint64_t safe = *safe_; gone_ < safe; ++gone_) {
        acts_.pop_front();
        some = true;
    }
    return some;
}

}  // namespace amphora::live

#include "io/access/pace.hpp"

#include <algorithm>

namespace amphora::access {

using std::chrono::seconds;

seconds Pace::pause_after(int wrong) const {
    if (wrong < rules_.free_tries) return seconds(0);
    const int doublings = std::min(wrong - rules_.free_tries, 20);
    return std::min(rules_.first_wait * (1 << doublings), rules_.longest_wait);
}

seconds Pace::wait(std::string_view address, Time now) const {
    seconds longest(0);
    const auto until = [&](Time end) {
        if (end > now) longest = std::max(longest, std::chrono::ceil<seconds>(end - now));
    };
    const auto found = std::ranges::find(tries_, address, &Tries::address);
    if (found != tries_.end()) until(found->last + pause_after(found->wrong));
    if (all_ >= rules_.all_tries) until(span_begin_ + rules_.all_span);
    return longest;
}

seconds Pace::ask(std::string_view address, Time now) {
    std::erase_if(tries_, [&](const Tries& t) { return now - t.last >= 4 * rules_.longest_wait; });
    if (const seconds rest = wait(address, now); rest > seconds(0)) return rest;
    if (all_ == 0 || now - span_begin_ >= rules_.all_span) {
        all_ = 0;
        span_begin_ = now;
    }
    ++all_;
    Tries& tries = tries_of(address);
    ++tries.wrong;
    tries.last = now;
    return seconds(0);
}

Pace::Tries& Pace::tries_of(std::string_view address) {
    const auto found = std::ranges::find(tries_, address, &Tries::address);
    if (found != tries_.end()) return *found;
    if (tries_.size() >= rules_.addresses) tries_.erase(std::ranges::min_element(tries_, {}, &Tries::last));
    return tries_.emplace_back(std::string(address));
}

void Pace::succeeded(std::string_view address) {
    std::erase_if(tries_, [&](const Tries& t) { return t.address == address; });
    if (all_ > 0) --all_;
}

}  // namespace amphora::access

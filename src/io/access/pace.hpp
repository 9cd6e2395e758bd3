// How fast strangers may guess: each address waits longer after every wrong try, and all of them together have a limit.
#pragma once

#include <chrono>
#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace amphora::access {

struct PaceRules {
    int free_tries = 3;                      // of one address, before it has to wait
    std::chrono::seconds first_wait{4};      // doubles with each further wrong try
    std::chrono::seconds longest_wait{900};  // and a wrong try is forgotten after four times that
    int all_tries = 40;                      // of all addresses together
    std::chrono::seconds all_span{600};      // within such a time
    std::size_t addresses = 256;             // so many are remembered
};

/// Its memory does not grow with who tries. For one thread.
class Pace {
public:
    using Time = std::chrono::steady_clock::time_point;

    explicit Pace(PaceRules rules = {}) : rules_(rules) {}

    /// Asks for a try. Zero: it may be made now, and counts as wrong until `succeeded` says otherwise, so that many
    /// tries at once are no way around. Else how long this address has to wait first; then nothing is counted.
    [[nodiscard]] std::chrono::seconds ask(std::string_view address, Time now);

    /// How long this address has to wait from now on.
    [[nodiscard]] std::chrono::seconds wait(std::string_view address, Time now) const;

    void succeeded(std::string_view address);

    [[nodiscard]] std::size_t remembered() const { return tries_.size(); }

private:
    struct Tries {
        std::string address;
        int wrong = 0;
        Time last;
    };
    [[nodiscard]] std::chrono::seconds pause_after(int wrong) const;
    Tries& tries_of(std::string_view address);

    PaceRules rules_;
    std::vector<Tries> tries_;
    int all_ = 0;  // wrong ones since span_begin_
    Time span_begin_;
};

}  // namespace amphora::access

// What stands beside the recorder and sees every reading: guards first of all.
#pragma once

#include <functional>
#include <nlohmann/json_fwd.hpp>
#include <string>

#include "core/guard/situation.hpp"
#include "io/record/guard_book.hpp"

namespace amphora::live {

/// A request that came over the socket: its own arguments in, its answer out. Must not wait.
using Request = std::function<nlohmann::ordered_json(const nlohmann::ordered_json& arguments)>;

/// Where a watch can offer requests of its own: `offer("guards", ...)` answers {"ask": "guards"}.
using Offer = std::function<void(const std::string& name, Request request)>;

/// The record, for what is done; neither waits.
struct ActBook {
    std::function<Instant(BootTime at)> utc;  // of a moment, as far as it is known
    /// Acts become safe on the device in the order in which they are kept; `safe` is called then, from another thread.
    std::function<void(record::GuardAct act, std::function<void()> safe)> keep;
};

class Watch {
public:
    virtual ~Watch() = default;

    /// Called after every reading of any source and at least once a second. What is to be done is begun here, so that
    /// it happens within the same round of the loop. Must not wait, but for what has to be safe before something is
    /// done, and for that no longer than 20 ms.
    virtual void look(const guard::Situation& situation) = 0;

    /// Called once at the start.
    virtual void offer_requests(const Offer& offer) = 0;

    /// Called once at the start, by whoever has a record.
    virtual void keep_acts(ActBook /*book*/) {}

    /// Called before the program ends in good order: puts into the safe state what must not be left alone.
    virtual void end() = 0;
};

}  // namespace amphora::live

// Tells people what the guards have to say, and keeps what is not yet known to have arrived: after a kill the next run
// of the program tells it late.
#pragma once

#include <cstdint>
#include <deque>
#include <functional>
#include <memory>
#include <nlohmann/json.hpp>
#include <optional>
#include <string>

#include "core/quantity/instant.hpp"
#include "core/system/protection.hpp"
#include "io/live/broker_link.hpp"
#include "io/sink/errands.hpp"

namespace amphora::live {

/// What one notice is to be told.
struct Word {
    std::string notice;              // its name
    nlohmann::ordered_json message;  // with `text`, a sentence
    std::string late;                // the sentence, should it come late: it says when it was
};

class Teller {
public:
    using Json = nlohmann::ordered_json;

    /// `broker` may be null where no notice goes by MQTT.
    Teller(const Protection& protection, BrokerLink* broker);

    /// From now on it is untold. More than a hundred are not kept: the oldest are given up.
    void owe(Word word);
    /// Begins to send what is owed, and does not wait.
    void tell();
    /// Takes note of what arrived, or was refused for good; true when something was.
    bool gather();
    /// Stops sending; what is under way may arrive or not.
    void stop() { posts_.reset(); }

    /// What is not known to have arrived, to be kept in a file.
    [[nodiscard]] Json untold() const;
    /// What an earlier run kept. It is owed, to be told late: the newest twenty at most, and none that is older than a
    /// week.
    void owe_late(const Json& untold, std::optional<Instant> now);

    [[nodiscard]] sink::ErrandCounts counts() const { return posts_ ? posts_->counts() : sink::ErrandCounts{}; }

private:
    class Arrivals;
    struct Open {
        std::uint64_t number;
        Word word;
        bool begun = false;  // to be sent
    };
    void send(std::uint64_t number, const Word& word);

    const Protection& protection_;
    BrokerLink* broker_;
    std::deque<Open> open_;
    std::uint64_t number_ = 0;
    std::shared_ptr<Arrivals> arrivals_;
    std::optional<sink::Errands> posts_;
};

}  // namespace amphora::live

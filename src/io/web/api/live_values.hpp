// The present, whoever knows it: the recorder over its socket, or an invented van.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "core/estimate/estimate.hpp"
#include "core/quantity/instant.hpp"
#include "core/quantity/quantity.hpp"
#include "core/system/system.hpp"

namespace amphora::web {

/// Charge that went in and out over some time, both positive.
struct Throughput {
    AmpHour in{};
    AmpHour out{};
};

struct SinceFull {
    Instant at;  // when it was last known to be full
    Throughput since;
};

/// Something that brings or takes and is measured by itself, such as one charger.
struct Flow {
    std::string name;
    Ampere current = Ampere::missing();  // positive into the battery
};

struct Present {
    Estimate estimate;
    std::optional<SinceFull> full;              // nothing when it never was
    Second age{};                               // of the newest reading, by this computer's clock
    Second fresh_for{};                         // a reading older than this is told as old
    std::optional<double> demonstration_speed;  // how fast an invented van's clock runs; nothing for a real one
    std::vector<Flow> flows;                    // what is measured beside the battery's own current; may be empty
};

/// How a source of readings does.
enum class SourceState : std::uint8_t { well, late, silent, refused };

struct SourceHealth {
    std::string name;  // as in the description
    std::string kind;  // how it is read: "modbus", "hwmon", "invented"
    SourceState state = SourceState::silent;
    std::optional<Instant> last;          // its newest reading
    Second interval = Second::missing();  // between readings, lately
    std::uint64_t readings = 0;           // since the start of the recorder
    std::uint64_t faults = 0;             // that could not be read, likewise
    std::string message;                  // what is wrong and what to do; empty when nothing is
};

/// A guard as it stands.
struct GuardStanding {
    std::string name;
    std::string rule;   // in words: "cuts the loads below 12.0 V for 30 s, until 12.8 V"
    std::string state;  // "watching", "tripped", "held", "off"
    std::optional<Instant> since;
    std::string message;  // why it is in this state
};

/// What a guard did.
struct GuardAct {
    Instant at;
    std::string guard;
    std::string what;  // in words, with the figures that decided it
};

/// Asked from the server's thread only; must answer without waiting for anything.
class LiveValues {
public:
    virtual ~LiveValues() = default;

    [[nodiscard]] virtual const System& system() const = 0;
    /// Nothing when nothing is being measured, or the recorder cannot be reached.
    [[nodiscard]] virtual std::optional<Present> present() const = 0;
    [[nodiscard]] virtual std::vector<SourceHealth> sources() const = 0;
    /// What a person ought to know of the measuring and the record itself, a sentence each; empty when all is well.
    [[nodiscard]] virtual std::vector<std::string> troubles() const { return {}; }
    [[nodiscard]] virtual std::vector<GuardStanding> guards() const { return {}; }
    /// Newest first, at most a hundred.
    [[nodiscard]] virtual std::vector<GuardAct> acts() const { return {}; }
};

}  // namespace amphora::web

// What runs per reading, in order. Live operation pushes one reading at a time, replay pushes millions: the same code,
// the same result to the bit. No clock, file, thread or random source inside; no allocation, exception or lock per
// reading.
#pragma once

#include <memory>
#include <vector>

#include "core/estimate/estimate.hpp"
#include "core/estimate/outlook.hpp"
#include "core/estimate/rate_limit.hpp"
#include "core/estimate/state.hpp"
#include "core/estimate/stepper.hpp"
#include "core/quantity/reading.hpp"
#include "core/system/system.hpp"

namespace amphora {

struct PipelineOptions {
    bool keep_for_hindsight = false;  // keeps at most 64 bytes per minute of log, so that hindsight() can be asked
};

/// All that the pipeline remembers of the readings so far, but for hindsight: plain bytes that can be kept and put
/// back, by the same program and for the same description. A pipeline that goes on from it gives the same results to
/// the bit.
struct PipelineMemory {
    Stepper stepper;
    Belief belief;
    RateLimit rate_limit;
    Outlook outlook;
    LastEvidence evidence;
};

class Pipeline {
public:
    explicit Pipeline(const System& system, PipelineOptions options = {});
    /// Goes on from what another remembered; hindsight begins here.
    Pipeline(const System& system, const PipelineMemory& memory, PipelineOptions options = {});
    ~Pipeline();
    Pipeline(Pipeline&&) noexcept;
    Pipeline& operator=(Pipeline&&) noexcept;

    /// Takes one reading. True when a step was closed, and with it a new estimate made (about once a minute).
    bool push(const Reading& reading);

    /// The newest estimate, carried forward to the latest reading by counting; times to empty and full included.
    [[nodiscard]] Estimate now() const;

    /// The state of charge of now(), and its moment, for whoever needs those alone: they cost next to nothing.
    [[nodiscard]] Uncertain<Fraction> state_of_charge() const;
    [[nodiscard]] Instant at() const;

    /// What pinned the state of charge last; part of now(), for whoever needs it alone.
    [[nodiscard]] const LastEvidence& evidence() const;

    [[nodiscard]] const Oddities& oddities() const;

    /// All that the filter believes, for whoever wants to look inside (tests, the page's "why").
    [[nodiscard]] const Belief& belief() const;

    [[nodiscard]] PipelineMemory memory() const;

    /// Every past step as it is known now, oldest first. Needs keep_for_hindsight. Takes time, allocates.
    [[nodiscard]] std::vector<Hindsight> hindsight() const;

private:
    struct Parts;
    std::unique_ptr<Parts> parts_;
};

}  // namespace amphora

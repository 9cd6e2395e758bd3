// What the pipeline remembers, kept in a file beside the record, so that a start need not read ten years again. Only a
// copy of what the record says: it may be lost or refused at any time.
#pragma once

#include <cstdint>
#include <filesystem>
#include <optional>
#include <string>

#include "core/pipeline/pipeline.hpp"
#include "io/live/full_watch.hpp"

namespace amphora::live {

struct Checkpoint {
    PipelineMemory memory;
    FullWatch full;
    std::int64_t until_us = 0;                                                      // the newest reading that is in it
    std::uint64_t readings = 0;                                                     // of the record up to then
    Uncertain<Fraction> state_of_charge{Fraction::missing(), Fraction::missing()};  // as it was believed then
};

/// The state of charge as it was believed last. Written so that any build of the program reads it, for any description.
struct LastBelief {
    Instant at;
    Uncertain<Fraction> state_of_charge;
};

/// Writes it beside itself first and then puts it in place, so that there is always a whole one. False when the disk
/// refuses.
bool save(const Checkpoint& checkpoint, const std::string& fingerprint, const std::filesystem::path& file);

/// Nothing when there is none, or it is damaged, or comes from another description or another build of the program.
/// `fresh` is what a new pipeline remembers.
[[nodiscard]] std::optional<Checkpoint> load_checkpoint(const PipelineMemory& fresh, const std::string& fingerprint,
                                                        const std::filesystem::path& file);

/// What a checkpoint says of the state of charge, whoever wrote it; nothing when there is none.
[[nodiscard]] std::optional<LastBelief> load_belief(const std::filesystem::path& file);

}  // namespace amphora::live

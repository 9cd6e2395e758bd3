// When the battery was last known to be full, and what went in and out since.
#pragma once

#include <optional>

#include "core/estimate/estimate.hpp"

namespace amphora::live {

struct SinceFull {
    Instant at;
    AmpHour in{};
    AmpHour out{};
};

/// Follows the evidence of a pipeline from step to step. Plain bytes: it is kept in the checkpoint.
class FullWatch {
public:
    /// To be called after every step, or at any time.
    void follow(const LastEvidence& evidence);

    /// Nothing while it never was full.
    [[nodiscard]] std::optional<SinceFull> since() const;

private:
    bool ever_ = false;
    Instant full_at_{};
    Instant seen_at_{};                   // of the newest evidence, of whatever kind
    AmpHour in_before_{}, out_before_{};  // between full and that
    AmpHour in_{}, out_{};                // since that
};

}  // namespace amphora::live

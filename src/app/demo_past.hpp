// The demonstration's memory: the invented van's past, in pieces of a minute or a few.
#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "core/estimate/estimate.hpp"
#include "core/quantity/reading.hpp"
#include "io/web/page_source.hpp"

namespace amphora::app {

/// About 50 bytes a piece: 10 MB for two years in pieces of five minutes.
class DemoPast {
public:
    /// A reading of the piece that is still open.
    void read(const Reading& reading);
    /// Closes the piece with what was known at its end. Times must rise.
    void close(const Estimate& estimate);
    /// What is known by now of the pieces so far; steps oldest first. A piece that ends with none of them keeps what it
    /// had.
    void look_back(std::span<const Hindsight> steps);

    [[nodiscard]] bool empty() const { return pieces_.empty(); }
    [[nodiscard]] Instant beginning() const;

    [[nodiscard]] std::vector<web::Bucket> series(Instant from, Instant to, int count) const;

    /// What went in and out from then to the end of the last closed piece.
    [[nodiscard]] web::Throughput moved_since(Instant from) const;

private:
    struct Piece {
        std::int64_t end_us;
        float hours;  // of readings in it
        float state_of_charge, state_of_charge_sd;
        float hindsight, hindsight_sd;
        float current_low, current, current_high;
        float voltage;
    };
    [[nodiscard]] std::vector<Piece>::const_iterator first_after(Instant at) const;

    std::vector<Piece> pieces_;
    // The open piece, weighted by the time each reading stands for.
    Instant last_{};
    bool started_ = false;
    double hours_ = 0, amp_hours_ = 0, volt_hours_ = 0, volts_known_h_ = 0;
    double low_ = 0, high_ = 0;
};

}  // namespace amphora::app

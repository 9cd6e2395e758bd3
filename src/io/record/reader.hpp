// Reads a record, also while it is being written: readings of any span, rollups, charts. Never changes the file.
#pragma once

#include <cstdint>
#include <filesystem>
#include <memory>
#include <optional>
#include <vector>

#include "core/ledger/block.hpp"
#include "core/ledger/rollup.hpp"
#include "io/record/guard_book.hpp"
#include "io/record/local_days.hpp"
#include "io/record/record_error.hpp"
#include "io/record/time_order.hpp"

namespace amphora::record {

/// A span of time, from `from_us` to before `to_us`.
struct Span {
    std::int64_t from_us = 0;
    std::int64_t to_us = 0;
    bool operator==(const Span&) const = default;
};

/// A chart: spans of readings between exact edges. Bucket i lies from edge i to before edge i + 1; those without
/// readings have `readings` zero.
struct Chart {
    std::vector<ledger::Rollup> buckets;
    std::int64_t end_us = 0;   // edge after the last bucket
    std::int64_t step_us = 0;  // edges lie on whole minutes, hours or days: one of these, or 0 when made from readings
};

class Reader {
public:
    [[nodiscard]] static Result<Reader> open(const std::filesystem::path& file);
    ~Reader();
    Reader(Reader&&) noexcept;
    Reader& operator=(Reader&&) noexcept;

    /// Takes in what was recorded since. Everything between two calls comes from one and the same state of the record.
    [[nodiscard]] Result<void> refresh();

    /// From the first reading to just after the last; nothing when the record is empty.
    [[nodiscard]] std::optional<Span> extent() const;
    [[nodiscard]] std::uint64_t count() const;

    /// Visits the readings of the span in order of time. About 15 ns a reading; memory for a few blocks.
    [[nodiscard]] Result<void> visit(Span span, const Visit& visit) const;

    /// Minutes, hours (ledger::minute_us, hour_us) or local days (day_us) that start in the span, newest readings
    /// included.
    [[nodiscard]] Result<std::vector<ledger::Rollup>> rollups(std::int64_t unit_us, Span span) const;

    /// At most `buckets` spans that cover the given one, of equal length but for rounding to whole minutes, hours or
    /// days. Bucket edges lie on edges of rollups, so every figure is exact for its bucket.
    [[nodiscard]] Result<Chart> chart(Span span, std::size_t buckets) const;

    /// What the guards did in the span, the newest first, at most so many.
    [[nodiscard]] Result<std::vector<GuardAct>> acts(Span span, std::size_t most) const;

    /// The days by which the record rolls up.
    [[nodiscard]] const LocalDays& days() const;

private:
    class Parts;
    explicit Reader(std::unique_ptr<Parts> parts);
    std::unique_ptr<Parts> parts_;
};

}  // namespace amphora::record

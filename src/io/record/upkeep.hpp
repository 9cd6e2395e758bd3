// What is done to a record as a whole: a copy while it is being recorded, a check, a rescue, a tidying up.
#pragma once

#include <cstdint>
#include <filesystem>
#include <functional>
#include <string>
#include <vector>

#include "io/record/local_days.hpp"
#include "io/record/reader.hpp"
#include "io/record/record_error.hpp"

namespace amphora::record {

/// Called now and then with the share that is done, 0 to 1.
using Progress = std::function<void(double)>;

/// Copies the record, the newest readings included, into one new file that is complete in itself. Consistent while a
/// recorder writes. Fails when `copy` exists.
[[nodiscard]] Result<void> backup(const std::filesystem::path& file, const std::filesystem::path& copy);

struct Damage {
    std::string what;  // for a person: which block, which span, why
    Span span;         // what is hurt; empty when it is no readings
    std::uint64_t readings = 0;
};

struct Verdict {
    std::uint64_t blocks = 0;
    std::uint64_t readings = 0;
    std::vector<Damage> damage;
    std::vector<std::string> notes;  // what is no damage, but worth knowing
    [[nodiscard]] bool sound() const { return damage.empty(); }
};

/// Checks SQLite's own structure and its log, every block's checksum, content and order, and every rollup against the
/// readings.
[[nodiscard]] Result<Verdict> verify(const std::filesystem::path& file, const Progress& progress = {});

struct Rescue {
    std::uint64_t readings = 0;  // saved
    std::vector<Damage> lost;    // to the second
};

/// Saves what can be read from a damaged record into a new one, page by page if need be. Never writes to `file`. Where
/// not one reading can be saved there is no new record either.
[[nodiscard]] Result<Rescue> salvage(const std::filesystem::path& file, const std::filesystem::path& to,
                                     const Progress& progress = {});

/// Joins small blocks and gives unused space back. Needs room for a second copy for a while.
[[nodiscard]] Result<void> compact(const std::filesystem::path& file);

/// Makes the rollups again from the readings, and forgets everything else that was derived.
[[nodiscard]] Result<void> begin_afresh(const std::filesystem::path& file, const LocalDays& days);

}  // namespace amphora::record

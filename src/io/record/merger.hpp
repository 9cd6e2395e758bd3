// Adds readings from elsewhere (a log, another record) to a record: in any order, as often as one likes. What is there
// already is not added again.
#pragma once

#include <cstdint>
#include <filesystem>
#include <memory>
#include <string>
#include <vector>

#include "core/quantity/reading.hpp"
#include "io/record/guard_book.hpp"
#include "io/record/local_days.hpp"
#include "io/record/record_error.hpp"

namespace amphora::record {

struct MergeCount {
    std::uint64_t added = 0;
    std::uint64_t known = 0;    // were there already, to the bit
    std::uint64_t clashes = 0;  // of those added: another reading with other values has the same time
};

class Merger {
public:
    /// Opens the record; one that is not there yet is made when the first reading or act is added, and not before. A
    /// recorder may go on writing meanwhile. `vfs` is SQLite's file system; empty for the usual one.
    [[nodiscard]] static Result<Merger> open(const std::filesystem::path& file, const LocalDays& days,
                                             const std::string& vfs = {});
    ~Merger();
    Merger(Merger&&) noexcept;
    Merger& operator=(Merger&&) noexcept;

    /// Adds the readings, all or none. Best in batches of a million or so; memory for one more copy of the batch.
    [[nodiscard]] Result<void> add(std::vector<Reading> readings);

    /// Keeps what guards did elsewhere; of an act that is known already nothing is added.
    [[nodiscard]] Result<void> add_acts(const std::vector<GuardAct>& acts);

    /// Brings the rollups up to date. When this is not reached, the next one who opens the record to write does it.
    [[nodiscard]] Result<void> finish();

    /// Of the batches that were added.
    [[nodiscard]] const MergeCount& count() const;

private:
    class Parts;
    explicit Merger(std::unique_ptr<Parts> parts);
    std::unique_ptr<Parts> parts_;
};

}  // namespace amphora::record

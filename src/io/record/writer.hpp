// Adds readings to a record while they are measured, so that a power cut at any moment costs at most the durability
// interval.
#pragma once

#include <cstdint>
#include <filesystem>
#include <memory>
#include <string>

#include "core/quantity/reading.hpp"
#include "io/record/guard_book.hpp"
#include "io/record/local_days.hpp"
#include "io/record/record_error.hpp"

namespace amphora::record {

struct WriterOptions {
    Second durability{60.0};  // readings are on the device at most this long after they were taken
    LocalDays days = LocalDays::utc();
    std::string vfs;  // SQLite file system; empty for the usual one
};

/// Where one start of the computer lies in time: UTC less the boot-time clock, and whether that is known to be true.
struct BootPlace {
    std::int64_t clock_us = 0;
    bool synchronised = false;
};

class Writer {
public:
    /// Opens the record, making it if need be, and folds in what a power cut left in the tail. One writer at a time.
    [[nodiscard]] static Result<Writer> open(const std::filesystem::path& file, WriterOptions options = {});
    ~Writer();
    Writer(Writer&&) noexcept;
    Writer& operator=(Writer&&) noexcept;

    /// Says which start of the computer the following readings belong to, and where it lies. Returns where it does lie:
    /// as said here, or as an earlier run in the same boot had it.
    [[nodiscard]] Result<BootPlace> begin_boot(const std::string& boot_id, std::int64_t clock_us, bool synchronised);

    /// The true time is known: all readings of this boot move by this much, and further ones are expected to be right.
    [[nodiscard]] Result<void> place_boot(std::int64_t shift_us);

    /// Takes a reading. Every durability interval it waits for the device. After an error the reading is kept in memory
    /// and the next call tries again; beyond a million readings they are refused.
    [[nodiscard]] Result<void> append(const Reading& reading);

    /// Keeps what a guard did, safe on the device when this returns; nothing new where it is kept already.
    [[nodiscard]] Result<void> keep(const GuardAct& act);

    /// After a change of the zone: stores some of the days that have to be made again; true while there are more. Takes
    /// a tenth of a second at most. Readers miss nothing meanwhile, and need not wait for it.
    [[nodiscard]] Result<bool> settle_some();

    /// Makes all readings safe now.
    [[nodiscard]] Result<void> commit();

    /// Makes a block of all readings and leaves the record as one file; the writer takes no more readings then. The
    /// destructor does it too, but cannot report.
    [[nodiscard]] Result<void> close();

    /// Readings that are safe on the device, of those given to this writer.
    [[nodiscard]] std::uint64_t safe() const;

private:
    class Parts;
    explicit Writer(std::unique_ptr<Parts> parts);
    std::unique_ptr<Parts> parts_;
};

}  // namespace amphora::record

// A device that can fail: a SQLite file system between the record and the real one. It fails a chosen operation, and
// keeps track of what has reached the device for certain, so that a power cut can take the rest away.
#pragma once

#include <cstdint>
#include <filesystem>
#include <functional>
#include <map>
#include <string>
#include <vector>

namespace amphora::record {

enum class Failure {
    none,
    short_write,   // half of it is written, then an error
    no_space,      // ENOSPC
    input_output,  // EIO at a write
    not_synced     // fsync fails
};

class FaultyDevice {
public:
    static constexpr const char* name = "faulty";
    /// The one device; it is registered when first asked for.
    static FaultyDevice& get();

    /// Forgets all files and failures.
    void reset();
    /// The `nth` operation from now on, and `repeats` after it, fail; `failure` none: all is well.
    void fail_at(std::uint64_t nth, Failure failure, std::uint64_t repeats = 0);
    /// `cut` is called once, before the `nth` operation from now on.
    void cut_at(std::uint64_t nth, std::function<void()> cut);

    /// Writes, syncs and truncations since the last reset.
    [[nodiscard]] std::uint64_t operations() const { return operations_; }
    [[nodiscard]] bool failed() const { return failed_; }

    /// Leaves in `folder` what the device holds after a power cut now: all that was synced; of each sector written
    /// since, a coin decides.
    void after_power_cut(const std::filesystem::path& folder, unsigned seed) const;

    struct Write {
        std::int64_t at;
        std::vector<std::uint8_t> bytes;
    };
    struct Image {
        std::vector<std::uint8_t> safe;
        std::vector<Write> pending;
    };

    // For the file system's functions.
    Failure next_operation(bool is_sync);
    Image& image(const std::string& path) { return images_[path]; }
    void forget(const std::string& path) { images_.erase(path); }

private:
    std::map<std::string, Image> images_;
    std::uint64_t operations_ = 0;
    std::uint64_t fail_from_ = 0;
    std::uint64_t fail_to_ = 0;
    Failure failure_ = Failure::none;
    bool failed_ = false;
    std::uint64_t cut_before_ = 0;
    std::function<void()> cut_;
};

}  // namespace amphora::record

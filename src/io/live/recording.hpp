// The record as the recorder uses it: readings go in at once, and a thread of its own waits for the device.
#pragma once

#include <chrono>
#include <condition_variable>
#include <cstdint>
#include <deque>
#include <filesystem>
#include <functional>
#include <memory>
#include <mutex>
#include <optional>
#include <string>
#include <thread>
#include <variant>

#include "core/quantity/reading.hpp"
#include "io/live/placement.hpp"
#include "io/record/writer.hpp"

namespace amphora::live {

/// How the record is doing.
struct RecordHealth {
    std::uint64_t taken = 0;  // readings given to it by this run of the program
    std::uint64_t safe = 0;   // of those, on the device
    bool open = false;        // false while the record cannot be opened
    std::string trouble;      // what hinders it, or soon will, in words; empty once all is on the device again
};

class Recording {
public:
    /// Opens the record and begins (or goes on with) this boot. `interval` is how long the durability interval takes on
    /// the recorder's clock, where that is not this computer's (a rehearsal). Fails as record::Writer does, but for a
    /// device that is full or fails and for a damaged record: what protects must not wait for room or repair, so
    /// readings are kept in memory, and the record is opened once it can be, or a saved one lies in its place.
    [[nodiscard]] static record::Result<std::unique_ptr<Recording>> open(
        const std::filesystem::path& file, record::WriterOptions options, const std::string& boot_id,
        const BootPlace& guess, std::optional<std::chrono::microseconds> interval = {});
    Recording(const Recording&) = delete;
    Recording& operator=(const Recording&) = delete;
    ~Recording();

    /// Where this boot lies: as guessed, or as an earlier run of the program in the same boot had it. As guessed too
    /// while the record is not open.
    [[nodiscard]] const BootPlace& place() const { return place_; }

    /// Takes a reading; does not wait. It is safe after the durability interval, even when no other comes.
    void append(const Reading& reading);
    /// Moves all readings of this boot that were given so far. `done` is called from the recording's thread. Until the
    /// device has done it, later readings wait, for they are in their new place already.
    void move_boot(std::int64_t shift_us, std::function<void()> done);
    /// Keeps what a guard did; does not wait. Tried again until the device takes it; `safe` is called from the
    /// recording's thread then, or when it is given up because ten thousand wait.
    void keep(record::GuardAct act, std::function<void()> safe = {});
    /// Makes all readings safe. `done` is called from the recording's thread.
    void commit(std::function<void()> done);

    [[nodiscard]] RecordHealth health() const;

private:
    struct Act {
        record::GuardAct act;
        std::function<void()> safe;
    };
    struct Move {
        std::int64_t shift_us;
        std::function<void()> done;
    };
    struct Commit {
        std::function<void()> done;
    };
    using Task = std::variant<Reading, Act, Move, Commit>;

    using Clock = std::chrono::steady_clock;

    Recording(std::filesystem::path file, record::WriterOptions options, std::string boot_id, const BootPlace& guess,
              std::chrono::microseconds interval);
    [[nodiscard]] record::Result<BootPlace> open_writer();
    [[nodiscard]] bool open_late();
    void work();
    [[nodiscard]] bool wait(std::unique_lock<std::mutex>& lock);
    [[nodiscard]] Clock::time_point due() const;
    [[nodiscard]] bool at_leisure() const;
    void add(Task task);
    [[nodiscard]] bool carry_out(Task& task);
    void judge(const record::Result<void>& result);
    void keep_acts();
    void let_go_act();
    void tell_health();
    void look_for_room();

    std::filesystem::path file_;
    record::WriterOptions options_;
    std::string boot_id_;
    BootPlace place_;
    std::optional<record::Writer> writer_;  // none while the device refuses
    Clock::duration durability_;
    std::uint64_t appended_ = 0;  // from here to the mutex the thread's own
    std::optional<Clock::time_point> unsafe_since_;
    bool days_missing_ = true;  // as far as is known
    std::deque<Act> acts_;      // that the device did not take yet
    Clock::time_point acts_tried_;
    std::string refused_, acts_refused_;  // by the device, in words
    std::string room_;                    // there is hardly any, in words
    Clock::time_point room_looked_;
    mutable std::mutex mutex_;
    std::condition_variable arrived_;
    std::deque<Task> tasks_;
    bool ending_ = false;
    RecordHealth health_;
    std::thread thread_;
};

}  // namespace amphora::live

#include "io/live/recording.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

namespace amphora::live {
namespace {

constexpr std::chrono::seconds retry_after(1);
constexpr std::chrono::milliseconds look_for_room_every(250);
constexpr std::uintmax_t room_wanted = std::uintmax_t{16} << 20;
constexpr std::size_t most_readings_waiting = 1'000'000;
constexpr std::size_t most_acts = 10'000;
constexpr double begin_after = 0.9;  // of the durability interval, as the writer has it: the device takes its time too
std::string told(const record::RecordError& error) {
    return error.message + (error.fault == record::Fault::damaged
                                ? "; until the saved one lies in its place, what is read is kept in memory"
                                : "; what is not yet written is kept in memory meanwhile");
}

/// What a person or time can mend while measuring goes on.
bool can_wait(const record::RecordError& error) {
    return error.fault == record::Fault::full || error.fault == record::Fault::input_output ||
           error.fault == record::Fault::damaged;
}

}  // namespace

record::Result<std::unique_ptr<Recording>> Recording::open(const std::filesystem::path& file,
                                                           record::WriterOptions options, const std::string& boot_id,
                                                           const BootPlace& guess,
                                                           std::optional<std::chrono::microseconds> interval) {
    if (!interval) interval = std::chrono::microseconds(std::llround(options.durability.value() * 1e6));
    std::unique_ptr<Recording> recording(new Recording(file, std::move(options), boot_id, guess, *interval));
    if (const auto place = recording->open_writer()) {
        recording->place_ = *place;
    } else if (can_wait(place.error())) {
        recording->refused_ = told(place.error());
    } else {
        return std::unexpected(place.error());
    }
    recording->tell_health();
    recording->thread_ = std::thread([raw = recording.get()] { raw->work(); });
    return recording;
}

Recording::Recording(std::filesystem::path file, record::WriterOptions options, std::string boot_id,
                     const BootPlace& guess, std::chrono::microseconds interval)
    : file_(std::move(file)),
      options_(std::move(options)),
      boot_id_(std::move(boot_id)),
      place_(guess),
      durability_(std::chrono::duration_cast<Clock::duration>(begin_after * interval)) {}

/// Where the record has this boot; without a writer after a failure.
record::Result<BootPlace> Recording::open_writer() {
    auto writer = record::Writer::open(file_, options_);
    if (!writer) return std::unexpected(writer.error());
    const auto begun = writer->begin_boot(boot_id_, place_.clock_us, place_.synchronised);
    if (!begun) return std::unexpected(begun.error());
    writer_.emplace(std::move(*writer));
    return *begun;
}

/// Tries again. What was read meanwhile lies where this run placed it; where an earlier run in the same boot knew the
/// time less well, its readings are moved there too.
bool Recording::open_late() {
    const auto begun = open_writer();
    if (!begun) {
        refused_ = told(begun.error());
    } else {
        refused_.clear();
        if (place_.synchronised && begun->clock_us != place_.clock_us)
            judge(writer_->place_boot(place_.clock_us - begun->clock_us));
    }
    tell_health();
    return begun.has_value();
}

Recording::~Recording() {
    {
        const std::scoped_lock lock(mutex_);
        ending_ = true;
    }
    arrived_.notify_one();
    if (thread_.joinable()) thread_.join();
    if (!writer_) return;
    keep_acts();
    (void)writer_->close();
}

void Recording::append(const Reading& reading) { add(reading); }
void Recording::move_boot(std::int64_t shift_us, std::function<void()> done) { add(Move{shift_us, std::move(done)}); }
void Recording::keep(record::GuardAct act, std::function<void()> safe) { add(Act{std::move(act), std::move(safe)}); }
void Recording::commit(std::function<void()> done) { add(Commit{std::move(done)}); }

RecordHealth Recording::health() const {
    const std::scoped_lock lock(mutex_);
    return health_;
}

void Recording::add(Task task) {
    {
        const std::scoped_lock lock(mutex_);
        if (std::holds_alternative<Reading>(task)) {
            ++health_.taken;
            if (tasks_.size() >= most_readings_waiting) return;  // the device has failed for days; the trouble is told
        }
        tasks_.push_back(std::move(task));
    }
    arrived_.notify_one();
}

void Recording::work() {
    for (;;) {
        std::unique_lock lock(mutex_);
        if (!writer_) {
            if (arrived_.wait_for(lock, retry_after, [this] { return ending_; })) return;
            lock.unlock();
            (void)open_late();
            continue;
        }
        if (at_leisure()) {
            lock.unlock();
            days_missing_ = writer_->settle_some().value_or(false);  // should it fail, the next run goes on with them
            continue;
        }
        if (!wait(lock)) {
            lock.unlock();
            unsafe_since_ = Clock::now();  // should the device fail, it is tried again an interval later
            judge(writer_->commit());
            keep_acts();
            continue;
        }
        if (tasks_.empty()) return;
        Task task = std::move(tasks_.front());
        tasks_.pop_front();
        lock.unlock();
        if (carry_out(task)) continue;
        lock.lock();
        tasks_.push_front(std::move(task));
        if (arrived_.wait_for(lock, retry_after, [this] { return ending_; })) return;
    }
}

/// Until there is something to do; false when the durability interval ended first, or what the guards did is to be
/// tried again. The writer itself looks at its clock only when a reading comes, and an unplugged meter sends none.
bool Recording::wait(std::unique_lock<std::mutex>& lock) {
    const auto something = [this] { return ending_ || !tasks_.empty(); };
    const auto until = due();
    if (until != Clock::time_point::max()) return arrived_.wait_until(lock, until, something);
    arrived_.wait(lock, something);
    return true;
}

/// When something is to be done though no task came.
Recording::Clock::time_point Recording::due() const {
    auto until = Clock::time_point::max();
    if (unsafe_since_) until = *unsafe_since_ + durability_;
    if (!acts_.empty()) until = std::min(until, acts_tried_ + retry_after);
    return until;
}

/// Nothing else is to be done, so that the days of another zone can be.
bool Recording::at_leisure() const { return days_missing_ && tasks_.empty() && !ending_ && Clock::now() < due(); }

/// False when it must be tried again before anything else.
bool Recording::carry_out(Task& task) {
    if (const auto* reading = std::get_if<Reading>(&task)) {
        ++appended_;
        judge(writer_->append(*reading));  // what it could not write it keeps, and tries again
    } else if (auto* act = std::get_if<Act>(&task)) {
        if (acts_.size() >= most_acts) let_go_act();
        acts_.push_back(std::move(*act));
        keep_acts();
    } else if (auto* move = std::get_if<Move>(&task)) {
        keep_acts();
        if (!acts_.empty()) return false;  // they belong to the place before
        const auto moved = writer_->place_boot(move->shift_us);
        judge(moved);
        if (!moved) return false;
        move->done();
    } else if (auto* commit = std::get_if<Commit>(&task)) {
        judge(writer_->commit());
        if (commit->done) commit->done();
    }
    return true;
}

// They do not hold up the readings, which have room of their own even on a full disk.
void Recording::keep_acts() {
    acts_refused_.clear();
    while (!acts_.empty()) {
        acts_tried_ = Clock::now();
        const auto kept = writer_->keep(acts_.front().act);
        if (!kept) acts_refused_ = kept.error().message + "; what the guards do is kept in memory meanwhile";
        if (!kept) break;
        let_go_act();
    }
    tell_health();
}

void Recording::let_go_act() {
    if (acts_.front().safe) acts_.front().safe();
    acts_.pop_front();
}

// A reading that was only taken into memory says nothing of the device: trouble stands until all is on it.
void Recording::judge(const record::Result<void>& result) {
    const bool all_safe = writer_->safe() >= appended_;
    if (all_safe)
        unsafe_since_.reset();
    else if (!unsafe_since_)
        unsafe_since_ = Clock::now();
    if (!result)
        refused_ = told(result.error());
    else if (all_safe)
        refused_.clear();
    tell_health();
}

void Recording::tell_health() {
    look_for_room();
    const std::scoped_lock lock(mutex_);
    health_.open = writer_.has_value();
    health_.safe = writer_ ? writer_->safe() : 0;
    health_.trouble = !room_.empty() ? room_ : !refused_.empty() ? refused_ : acts_refused_;
}

// The newest readings have room of their own, so that a full disk may not be felt for hours; a person wants to know.
void Recording::look_for_room() {
    if (Clock::now() - room_looked_ < look_for_room_every) return;
    room_looked_ = Clock::now();
    std::error_code failed;
    const auto space = std::filesystem::space(std::filesystem::absolute(file_).parent_path(), failed);
    room_.clear();
    if (failed || space.available >= room_wanted) return;
    room_ = fmt::format(
        "the disk is nearly full: {:.1f} MB are free beside {}; make room, or a power cut will cost more "
        "readings than it should",
        static_cast<double>(space.available) / 1e6, file_.string());
}

}  // namespace amphora::live

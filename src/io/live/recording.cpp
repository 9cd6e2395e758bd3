#include "io/live/recording.hpp"

#include <cmath>
#include <utility>

namespace amphora::live {
namespace {

constexpr std::chrono::seconds retry_after(1);
constexpr std::size_t most_waiting = 1'000'000;
constexpr double begin_after = 0.9;  // of the durability interval, as the writer has it: the device takes its time too

}  // namespace

record::Result<std::unique_ptr<Recording>> Recording::open(const std::filesystem::path& file,
                                                           record::WriterOptions options, const std::string& boot_id,
                                                           const BootPlace& guess,
                                                           std::optional<std::chrono::microseconds> interval) {
    if (!interval) interval = std::chrono::microseconds(std::llround(options.durability.value() * 1e6));
    auto writer = record::Writer::open(file, std::move(options));
    if (!writer) return std::unexpected(writer.error());
    const auto begun = writer->begin_boot(boot_id, guess.clock_us, guess.synchronised);
    if (!begun) return std::unexpected(begun.error());
    return std::unique_ptr<Recording>(new Recording(std::move(*writer), *begun, *interval));
}

Recording::Recording(record::Writer writer, const BootPlace& place, std::chrono::microseconds interval)
    : writer_(std::move(writer)),
      place_(place),
      durability_(std::chrono::duration_cast<Clock::duration>(begin_after * interval)),
      thread_([this] { work(); }) {}

Recording::~Recording() {
    {
        const std::scoped_lock lock(mutex_);
        ending_ = true;
    }
    arrived_.notify_one();
    thread_.join();
    (void)writer_.close();
}

void Recording::append(const Reading& reading) { add(reading); }
void Recording::move_boot(std::int64_t shift_us, std::function<void()> done) { add(Move{shift_us, std::move(done)}); }
void Recording::keep(record::GuardAct act) { add(std::move(act)); }
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
            if (tasks_.size() >= most_waiting) return;  // the device has failed for days; the trouble is told
        }
        tasks_.push_back(std::move(task));
    }
    arrived_.notify_one();
}

void Recording::work() {
    for (;;) {
        std::unique_lock lock(mutex_);
        if (!wait(lock)) {
            lock.unlock();
            unsafe_since_ = Clock::now();  // should the device fail, it is tried again an interval later
            judge(writer_.commit());
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

/// Until there is something to do; false when the durability interval ended first. The writer itself looks at its clock
/// only when a reading comes, and an unplugged meter sends none.
bool Recording::wait(std::unique_lock<std::mutex>& lock) {
    const auto something = [this] { return ending_ || !tasks_.empty(); };
    if (unsafe_since_) return arrived_.wait_until(lock, *unsafe_since_ + durability_, something);
    arrived_.wait(lock, something);
    return true;
}

/// False when it must be tried again before anything else.
bool Recording::carry_out(Task& task) {
    if (const auto* reading = std::get_if<Reading>(&task)) {
        ++appended_;
        judge(writer_.append(*reading));  // what it could not write it keeps, and tries again
    } else if (const auto* act = std::get_if<record::GuardAct>(&task)) {
        const auto kept = writer_.keep(*act);
        judge(kept);
        return kept.has_value();
    } else if (auto* move = std::get_if<Move>(&task)) {
        const auto moved = writer_.place_boot(move->shift_us);
        judge(moved);
        if (!moved) return false;
        move->done();
    } else if (auto* commit = std::get_if<Commit>(&task)) {
        judge(writer_.commit());
        if (commit->done) commit->done();
    }
    return true;
}

void Recording::judge(const record::Result<void>& result) {
    if (writer_.safe() >= appended_)
        unsafe_since_.reset();
    else if (!unsafe_since_)
        unsafe_since_ = Clock::now();
    const std::scoped_lock lock(mutex_);
    health_.safe = writer_.safe();
    health_.trouble = result ? "" : result.error().message + "; what is not yet written is kept in memory meanwhile";
}

}  // namespace amphora::live

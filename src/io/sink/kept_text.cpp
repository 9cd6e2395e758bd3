#include "io/sink/kept_text.hpp"

#include <fcntl.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <string_view>
#include <utility>

#include "io/sink/output_file.hpp"

namespace amphora::sink {
namespace {

constexpr std::size_t reserved = std::size_t{128} << 10;  // taken from the disk at once, so that a full one is not felt
constexpr std::chrono::milliseconds first_retry{1000};
constexpr std::chrono::milliseconds longest_retry{60'000};

bool write_all(int descriptor, std::string_view rest) {
    while (!rest.empty()) {
        const auto written = ::write(descriptor, rest.data(), rest.size());
        if (written < 0 && errno == EINTR) continue;
        if (written <= 0) return false;
        rest.remove_prefix(static_cast<std::size_t>(written));
    }
    return true;
}

}  // namespace

KeptText::KeptText(std::filesystem::path file)
    : file_(std::move(file)), thread_([this](const std::stop_token& stop) { work(stop); }) {}

KeptText::~KeptText() {
    thread_.request_stop();
    thread_.join();
    close();
}

void KeptText::put(std::string version) {
    {
        const std::scoped_lock lock(mutex_);
        next_ = std::move(version);
        ++put_;
    }
    changed_.notify_all();
}

bool KeptText::wait(std::chrono::milliseconds most) {
    std::unique_lock lock(mutex_);
    return changed_.wait_for(lock, most, [this] { return kept_ == put_; });
}

bool KeptText::wait_written(std::chrono::milliseconds most) {
    std::unique_lock lock(mutex_);
    return changed_.wait_for(lock, most, [this] { return written_ == put_; });
}

void KeptText::work(const std::stop_token& stop) {
    std::unique_lock lock(mutex_);
    auto pause = first_retry;
    while (changed_.wait(lock, stop, [this] { return next_.has_value(); })) {
        std::string version = *std::exchange(next_, std::nullopt);
        const std::uint64_t number = put_;
        lock.unlock();
        const bool done = write(version, number);
        lock.lock();
        if (done) {
            written_ = kept_ = number;
            pause = first_retry;
            changed_.notify_all();
            continue;
        }
        if (stop.stop_requested()) return;
        // A newer version does not wait for the pause of this one.
        changed_.wait_for(lock, stop, pause, [this] { return next_.has_value(); });
        pause = std::min(pause * 2, longest_retry);
        if (!next_) next_ = std::move(version);
    }
}

bool KeptText::write(const std::string& version, std::uint64_t number) {
    const std::string line = version + "\n";
    const bool fits = descriptor_ >= 0 && size_ + line.size() <= reserved;
    return (fits && append(line, number)) || begin_anew(line);
}

bool KeptText::append(const std::string& line, std::uint64_t number) {
    size_ += line.size();
    if (write_all(descriptor_, line)) {
        {
            const std::scoped_lock lock(mutex_);
            written_ = number;
        }
        changed_.notify_all();
        if (::fdatasync(descriptor_) == 0) return true;
    }
    close();  // a part of it may be there: nothing is appended to that
    return false;
}

bool KeptText::begin_anew(const std::string& line) {
    close();
    if (!replace_file(file_.string(), line)) return false;
    size_ = line.size();
    descriptor_ = ::open(file_.c_str(), O_WRONLY | O_APPEND | O_CLOEXEC);
    if (descriptor_ >= 0) (void)::fallocate(descriptor_, FALLOC_FL_KEEP_SIZE, 0, static_cast<off_t>(reserved));
    return true;
}

void KeptText::close() {
    if (descriptor_ >= 0) ::close(std::exchange(descriptor_, -1));
}

}  // namespace amphora::sink

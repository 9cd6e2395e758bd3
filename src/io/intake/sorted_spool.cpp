#include "io/intake/sorted_spool.hpp"

#include <fcntl.h>
#include <fmt/core.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <cstdlib>
#include <cstring>

namespace amphora::intake {
namespace {

constexpr std::size_t smallest_part = 256;  // values that are read of a run at once

/// /var/tmp lies on a device where /tmp is often memory (Filesystem Hierarchy Standard 3.0, 5.15).
std::vector<std::string> temporary_folders() {
    if (const char* named = std::getenv("TMPDIR"); named != nullptr && *named != '\0') return {named};
    return {"/var/tmp", "/tmp"};
}

}  // namespace

SortedSpool::~SortedSpool() {
    if (file_ >= 0) ::close(file_);
}

void SortedSpool::put(SpooledValue value) {
    if (!error_.empty()) return;
    values_.push_back(value);
    if (values_.size() >= in_memory_) spill();
}

void SortedSpool::end() {
    if (file_ < 0) {
        std::ranges::stable_sort(values_, {}, &SpooledValue::key);
        return;
    }
    spill();
    values_ = {};
    const std::size_t part = std::max(in_memory_ / std::max<std::size_t>(runs_.size(), 1), smallest_part);
    for (std::size_t run = 0; run < runs_.size(); ++run) {
        runs_[run].part.reserve(part);
        take_head(run);
    }
}

std::optional<SpooledValue> SortedSpool::next() {
    if (!error_.empty()) return std::nullopt;
    if (file_ < 0) return taken_ < values_.size() ? std::optional(values_[taken_++]) : std::nullopt;
    if (heads_.empty()) return std::nullopt;
    const Head head = heads_.top();
    heads_.pop();
    take_head(head.run);
    return error_.empty() ? std::optional(head.value) : std::nullopt;
}

/// The file has no name: it is gone with the program, however that ends.
bool SortedSpool::open_file() {
    for (const auto& folder : temporary_folders()) {
        std::string name = folder + "/amphora-sort-XXXXXX";
        file_ = ::mkostemp(name.data(), O_CLOEXEC);
        if (file_ < 0) continue;
        ::unlink(name.c_str());
        return true;
    }
    error_ = fmt::format(
        "the log is too large to sort in memory, and no temporary file can be made ({}); name a "
        "folder with room in TMPDIR",
        std::strerror(errno));
    return false;
}

void SortedSpool::spill() {
    if (values_.empty() || (file_ < 0 && !open_file())) return;
    std::ranges::stable_sort(values_, {}, &SpooledValue::key);
    const char* at = reinterpret_cast<const char*>(values_.data());
    std::size_t left = values_.size() * sizeof(SpooledValue);
    while (left > 0) {
        const ssize_t written = ::write(file_, at, left);
        if (written < 0 && errno == EINTR) continue;
        if (written <= 0) {
            error_ = fmt::format(
                "the log is too large to sort in memory, and the temporary file cannot be written "
                "({}); name a folder with more room in TMPDIR",
                std::strerror(errno));
            return;
        }
        at += written;
        left -= static_cast<std::size_t>(written);
    }
    runs_.push_back({written_, written_ + values_.size(), {}, 0});
    written_ += values_.size();
    values_.clear();
}

void SortedSpool::take_head(std::size_t index) {
    Run& run = runs_[index];
    if (run.taken == run.part.size() && !fill(run)) return;
    heads_.push({run.part[run.taken++], index});
}

bool SortedSpool::fill(Run& run) {
    const auto count = static_cast<std::size_t>(std::min<std::uint64_t>(run.part.capacity(), run.end - run.at));
    run.taken = 0;
    run.part.resize(count);
    char* at = reinterpret_cast<char*>(run.part.data());
    std::size_t left = count * sizeof(SpooledValue);
    auto offset = static_cast<off_t>(run.at * sizeof(SpooledValue));
    while (left > 0) {
        const ssize_t got = ::pread(file_, at, left, offset);
        if (got < 0 && errno == EINTR) continue;
        if (got <= 0) {
            error_ = fmt::format("the temporary file cannot be read back ({})", got < 0 ? std::strerror(errno) : "cut");
            return false;
        }
        at += got;
        offset += got;
        left -= static_cast<std::size_t>(got);
    }
    run.at += count;
    return count > 0;
}

}  // namespace amphora::intake

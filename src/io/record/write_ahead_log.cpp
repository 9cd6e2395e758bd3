#include "io/record/write_ahead_log.hpp"

#include <fmt/core.h>

#include <bit>
#include <fstream>
#include <optional>
#include <span>
#include <vector>

#include "io/text/figure.hpp"

namespace amphora::record {
namespace {

constexpr std::size_t header_size = 32;
constexpr std::size_t frame_header = 24;
constexpr std::uint32_t magic = 0x377F0682;  // and the bit that says that checksums are of big-endian words

using Bytes = std::span<const std::uint8_t>;

std::uint32_t big_endian(Bytes at) {
    return static_cast<std::uint32_t>(at[0]) << 24U | static_cast<std::uint32_t>(at[1]) << 16U |
           static_cast<std::uint32_t>(at[2]) << 8U | at[3];
}

/// Two sums over pairs of words of 32 bits, each added into the other.
struct Checksum {
    std::uint32_t first = 0;
    std::uint32_t second = 0;
    bool operator==(const Checksum&) const = default;
};

Checksum stored_at(Bytes at) { return {big_endian(at), big_endian(at.subspan(4))}; }

class Log {
public:
    explicit Log(const std::filesystem::path& path) : in_(path, std::ios::binary) {
        std::error_code none;
        size_ = std::filesystem::file_size(path, none);
        if (none) size_ = 0;
    }

    LogVerdict check() {
        if (size_ < header_size) return {};
        std::vector<std::uint8_t> header(header_size);
        read(header);
        big_ = (big_endian(header) & 1U) != 0;
        const Bytes h(header);
        page_size_ = big_endian(h.subspan(8));
        const bool sound = (big_endian(h) & ~1U) == magic && sum({}, h.first(24)) == stored_at(h.subspan(24)) &&
                           std::has_single_bit(page_size_) && page_size_ >= 512 && page_size_ <= 65'536;
        if (!sound)
            return {
                "the write-ahead log: the checksum of its header does not hold; nothing in it is read, and what was "
                "written last may be missing",
                {}};
        salts_ = stored_at(h.subspan(16));
        walk(stored_at(h.subspan(24)));
        return verdict();
    }

private:
    void read(std::vector<std::uint8_t>& into) {
        in_.read(reinterpret_cast<char*>(into.data()), static_cast<std::streamsize>(into.size()));
    }

    std::uint32_t word(Bytes at) const {
        const std::uint32_t value = big_endian(at);
        return big_ ? value : __builtin_bswap32(value);
    }

    Checksum sum(Checksum s, Bytes bytes) const {
        for (std::size_t i = 0; i + 8 <= bytes.size(); i += 8) {
            s.first += word(bytes.subspan(i)) + s.second;
            s.second += word(bytes.subspan(i + 4)) + s.first;
        }
        return s;
    }

    /// Goes through all frames: up to the first that does not hold, and on to see what lies behind it.
    void walk(Checksum before) {
        std::vector<std::uint8_t> frame(frame_header + page_size_);
        const std::uint64_t frames = (size_ - header_size) / frame.size();
        for (std::uint64_t number = 1; number <= frames; ++number) {
            read(frame);
            if (!in_) return;
            const Bytes f(frame);
            const bool of_this_log = stored_at(f.subspan(8)) == salts_;
            const bool commits = big_endian(f.subspan(4)) != 0;
            if (!broken_) {
                const Checksum made = sum(sum(before, f.first(8)), f.subspan(frame_header));
                if (of_this_log && made == stored_at(f.subspan(16))) {
                    before = made;
                    continue;
                }
                broken_ = number;
                flipped_ = one_bit_flipped(f, made);
                if (!of_this_log && !flipped_) {
                    broken_.reset();
                    return;  // left over from before the log was begun anew
                }
            } else if (of_this_log) {
                ++behind_;
                commits_before_last_ += last_commits_ ? 1 : 0;
            } else {
                return;
            }
            last_commits_ = commits;
        }
    }

    /// True when turning a single bit of the frame would make it whole: so a bit flipped, and it was no write that was
    /// broken off. The sums are linear, so that what a bit does to them can be had without trying each.
    bool one_bit_flipped(Bytes f, Checksum made) const {
        const Checksum stored = stored_at(f.subspan(16));
        const Checksum salts = stored_at(f.subspan(8));
        const auto differ = [](const Checksum& a, const Checksum& b) {
            return std::popcount(a.first ^ b.first) + std::popcount(a.second ^ b.second);
        };
        const int in_salts = differ(salts, salts_);
        if (made == stored) return in_salts == 1;
        if (in_salts > 0) return false;
        if (differ(made, stored) == 1) return true;
        const std::uint32_t first = stored.first - made.first;
        const std::uint32_t second = stored.second - made.second;
        // What a change of either sum becomes by the words that follow.
        Checksum by_first{1, 0};
        Checksum by_second{0, 1};
        const auto turns = [&](std::uint32_t value, Checksum effect) {
            for (unsigned bit = 0; bit < 32; ++bit) {
                const std::uint32_t change = (value >> bit & 1U) != 0 ? 0U - (1U << bit) : 1U << bit;
                if (effect.first * change == first && effect.second * change == second) return true;
            }
            return false;
        };
        const std::size_t pairs = (8 + page_size_) / 8;
        for (std::size_t k = pairs; k-- > 0;) {
            const Bytes pair = f.subspan(k == 0 ? 0 : frame_header + (k - 1) * 8, 8);
            const Checksum both{by_first.first + by_second.first, by_first.second + by_second.second};
            if (turns(word(pair), both) || turns(word(pair.subspan(4)), by_second)) return true;
            by_second = {both.first + by_second.first, both.second + by_second.second};
            by_first = both;
        }
        return false;
    }

    LogVerdict verdict() const {
        if (!broken_) return {};
        const std::string what =
            fmt::format("the write-ahead log: frame {} (bytes {} to {}) does not hold its checksum", *broken_,
                        header_size + (*broken_ - 1) * (frame_header + page_size_),
                        header_size + *broken_ * (frame_header + page_size_) - 1);
        const std::string lost = fmt::format("it and {} behind it are not read; what was written last may be missing",
                                             text::plain_count_of(behind_, "frame"));
        // Each commit waits for the device: only the last one can have been broken off by a power cut.
        if (commits_before_last_ > 0 || flipped_)
            return {fmt::format("{}{}: {}", what, flipped_ ? ", one bit of it has flipped" : "", lost), {}};
        return {{}, fmt::format("{}, as when the power fails during a write: {}", what, lost)};
    }

    std::ifstream in_;
    std::uint64_t size_ = 0;
    std::uint32_t page_size_ = 0;
    bool big_ = false;
    Checksum salts_;
    std::optional<std::uint64_t> broken_;  // number of the first frame that does not hold
    bool flipped_ = false;
    bool last_commits_ = false;
    std::uint64_t behind_ = 0;
    std::uint64_t commits_before_last_ = 0;
};

}  // namespace

LogVerdict check_write_ahead_log(const std::filesystem::path& file) {
    const auto log = std::filesystem::path(file.string() + "-wal");
    // A recorder may be writing right now: what does not hold is looked at again.
    LogVerdict verdict = Log(log).check();
    if (!verdict.damage.empty()) verdict = Log(log).check();
    return verdict;
}

}  // namespace amphora::record

// Range asymmetric numeral systems: an entropy coder whose state is one 64-bit number, 32 bits written at a time
// (J. Duda, "Asymmetric numeral systems", arXiv:1311.2540, 2013). What is encoded last is decoded first.
#pragma once

#include <bit>
#include <cstdint>
#include <cstring>
#include <span>
#include <vector>

#include "core/ledger/frequencies.hpp"

namespace amphora::ledger {

static_assert(std::endian::native == std::endian::little, "the words of a stream are read as they lie in memory");

constexpr std::uint64_t rans_floor = std::uint64_t{1} << 31U;  // the state lies in [2^31, 2^63)

/// Takes symbols from last to first; `words()` then holds the stream in the order in which it is read.
class RansEncoder {
public:
    void symbol(std::uint32_t start, std::uint32_t share, unsigned bits) {
        if (state_ >= ((rans_floor >> bits) << 32U) * share) spill();
        state_ = ((state_ / share) << bits) + state_ % share + start;
    }
    /// Plain bits, at most 16.
    void plain(std::uint64_t value, unsigned bits) {
        if (state_ >= (rans_floor >> bits) << 32U) spill();
        state_ = (state_ << bits) | value;
    }
    /// The finished stream: the state first, then the words.
    [[nodiscard]] std::vector<std::uint32_t> finish() {
        words_.push_back(static_cast<std::uint32_t>(state_));
        words_.push_back(static_cast<std::uint32_t>(state_ >> 32U));
        return {words_.rbegin(), words_.rend()};
    }

private:
    void spill() {
        words_.push_back(static_cast<std::uint32_t>(state_));
        state_ >>= 32U;
    }
    std::uint64_t state_ = rans_floor;
    std::vector<std::uint32_t> words_;
};

/// One slot of a decoding table: the symbol, its share less one, and the slot's place within the share.
struct RansSlot {
    std::uint32_t packed;
    [[nodiscard]] std::uint32_t symbol() const { return packed & 0xFFU; }
    [[nodiscard]] std::uint64_t share() const { return ((packed >> 8U) & 0xFFFU) + 1U; }
    [[nodiscard]] std::uint32_t place() const { return packed >> 20U; }
};

/// Fills 2^bits slots.
void fill_slots(const Frequencies& f, unsigned bits, std::span<RansSlot> slots);

/// Reads symbols in the order in which they were meant. Past the end of the words it goes on with zeros.
class RansDecoder {
public:
    RansDecoder() = default;
    explicit RansDecoder(std::span<const std::uint8_t> words)
        : next_(words.data()), end_(words.data() + words.size() / 4 * 4) {
        const std::uint64_t high = word();
        state_ = high << 32U | word();
    }
    [[gnu::always_inline]] std::uint32_t symbol(const RansSlot* slots, unsigned bits) {
        const RansSlot slot = slots[state_ & ((std::uint64_t{1} << bits) - 1U)];
        state_ = slot.share() * (state_ >> bits) + slot.place();
        refill();
        return slot.symbol();
    }
    /// Plain bits, at most 16.
    [[gnu::always_inline]] std::uint64_t plain(unsigned bits) {
        const std::uint64_t value = state_ & ((std::uint64_t{1} << bits) - 1U);
        state_ >>= bits;
        refill();
        return value;
    }
    /// True when all words were used and the state is back where the encoder began.
    [[nodiscard]] bool finished() const { return next_ == end_ && state_ == rans_floor; }

private:
    [[gnu::always_inline]] void refill() {
        if (state_ < rans_floor) state_ = state_ << 32U | word();
    }
    std::uint32_t word() {
        if (next_ == end_) return 0;
        std::uint32_t w = 0;
        std::memcpy(&w, next_, 4);
        next_ += 4;
        return w;
    }
    std::uint64_t state_ = rans_floor;
    const std::uint8_t* next_ = nullptr;
    const std::uint8_t* end_ = nullptr;
};

}  // namespace amphora::ledger

// Little-endian bytes with variable-length integers (LEB128; signed numbers in zigzag): how the ledger writes
// everything.
#pragma once

#include <cstddef>
#include <cstdint>
#include <cstring>
#include <optional>
#include <span>
#include <vector>

namespace amphora::ledger {

/// Small magnitudes to small numbers, whatever the sign: 0, -1, 1, -2, 2 ... become 0, 1, 2, 3, 4 ...
constexpr std::uint64_t zigzag(std::int64_t v) {
    return (static_cast<std::uint64_t>(v) << 1U) ^ static_cast<std::uint64_t>(v >> 63);
}
constexpr std::int64_t unzigzag(std::uint64_t z) {
    return static_cast<std::int64_t>(z >> 1U) ^ -static_cast<std::int64_t>(z & 1U);
}

class ByteWriter {
public:
    void byte(std::uint8_t b) { bytes_.push_back(b); }
    void fixed32(std::uint32_t v) { fixed(v, 4); }
    void fixed64(std::uint64_t v) { fixed(v, 8); }
    void number(std::uint64_t v) {
        for (; v >= 0x80U; v >>= 7U) byte(static_cast<std::uint8_t>(v | 0x80U));
        byte(static_cast<std::uint8_t>(v));
    }
    void signed_number(std::int64_t v) { number(zigzag(v)); }
    void words(std::span<const std::uint32_t> w) {
        for (const std::uint32_t v : w) fixed32(v);
    }
    [[nodiscard]] std::vector<std::uint8_t>& bytes() { return bytes_; }

private:
    void fixed(std::uint64_t v, int count) {
        for (int i = 0; i < count; ++i, v >>= 8U) byte(static_cast<std::uint8_t>(v));
    }
    std::vector<std::uint8_t> bytes_;
};

/// Reads what ByteWriter wrote. Past the end it returns zeros and `ok()` turns false for good.
class ByteReader {
public:
    explicit ByteReader(std::span<const std::uint8_t> bytes) : bytes_(bytes) {}

    std::uint8_t byte() {
        if (at_ >= bytes_.size()) {
            ok_ = false;
            return 0;
        }
        return bytes_[at_++];
    }
    std::uint32_t fixed32() { return static_cast<std::uint32_t>(fixed(4)); }
    std::uint64_t fixed64() { return fixed(8); }
    std::uint64_t number() {
        std::uint64_t v = 0;
        for (unsigned shift = 0; shift < 64; shift += 7) {
            const std::uint8_t b = byte();
            v |= static_cast<std::uint64_t>(b & 0x7FU) << shift;
            if (b < 0x80U) return v;
        }
        ok_ = false;
        return 0;
    }
    std::int64_t signed_number() { return unzigzag(number()); }
    /// A number that must not exceed `most`; else zero, and `ok()` is false.
    std::uint64_t number_up_to(std::uint64_t most) {
        const std::uint64_t v = number();
        if (v <= most) return v;
        ok_ = false;
        return 0;
    }
    std::span<const std::uint8_t> take(std::size_t count) {
        if (count > bytes_.size() - at_) {
            ok_ = false;
            return {};
        }
        at_ += count;
        return bytes_.subspan(at_ - count, count);
    }
    [[nodiscard]] bool ok() const { return ok_; }
    [[nodiscard]] std::size_t left() const { return bytes_.size() - at_; }
    void fail() { ok_ = false; }

private:
    std::uint64_t fixed(unsigned count) {
        std::uint64_t v = 0;
        for (unsigned i = 0; i < count; ++i) v |= static_cast<std::uint64_t>(byte()) << (8U * i);
        return v;
    }
    std::span<const std::uint8_t> bytes_;
    std::size_t at_ = 0;
    bool ok_ = true;
};

}  // namespace amphora::ledger

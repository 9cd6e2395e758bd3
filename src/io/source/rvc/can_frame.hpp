// One frame of a CAN bus, wherever it came from.
#pragma once

#include <array>
#include <cstdint>
#include <span>

namespace amphora::rvc {

enum class FrameKind : std::uint8_t { data, remote, error };

struct CanFrame {
    std::uint32_t id = 0;  // 11 or 29 bits
    bool extended = false;
    FrameKind kind = FrameKind::data;
    std::uint8_t length = 0;  // bytes of `bytes` that count
    std::array<std::uint8_t, 8> bytes{};

    [[nodiscard]] std::span<const std::uint8_t> data() const { return std::span(bytes).first(length); }
    bool operator==(const CanFrame&) const = default;
};

}  // namespace amphora::rvc

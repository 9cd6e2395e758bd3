// What an RV-C bus tells about one system: which of several senders is believed, and which figures a message gives.
#pragma once

#include <array>
#include <cstdint>
#include <functional>
#include <optional>
#include <vector>

#include "core/quantity/boot_time.hpp"
#include "core/system/live.hpp"
#include "io/source/rvc/messages.hpp"

namespace amphora::rvc {

/// One figure of a message: in V, A (positive into the battery, or out of a charger), degrees Celsius or a share of 1.
struct BusFigure {
    described::BusMessage message{};
    int instance = 0;
    Measurand measures{};
    double value = 0.0;
};

class BusListener {
public:
    using Found = std::function<void(const BusFigure&)>;

    /// Gives every figure of a frame to `found`. True if the frame is a message that is understood, whether or not it
    /// has figures; the reason otherwise.
    std::expected<void, NoMessage> take(const CanFrame& frame, BootTime at, const Found& found);

private:
    /// The one that is believed about a DC source: the highest priority; the first of several with the same.
    struct Speaker {
        std::uint8_t address = 0;
        std::uint8_t priority = 0;
        BootTime heard;
        std::optional<BootTime> fine_voltage;  // when it last told millivolts
    };

    [[nodiscard]] bool believed(Instance instance, std::uint8_t address, std::uint8_t priority, BootTime at);

    std::array<std::optional<Speaker>, 256> speakers_;  // by instance
};

}  // namespace amphora::rvc

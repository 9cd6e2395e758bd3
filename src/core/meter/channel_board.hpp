// The newest figure of every channel, and the readings of the battery that are made of them: several sources, one
// battery.
#pragma once

#include <optional>
#include <vector>

#include "core/quantity/boot_time.hpp"
#include "core/quantity/quantity.hpp"
#include "core/system/live.hpp"

namespace amphora {

/// What the sources say of the battery at one moment of the boot-time clock; Reading has the same on the UTC clock.
struct TimedReading {
    BootTime at;
    Ampere current = Ampere::missing();
    Volt voltage = Volt::missing();
    Celsius temperature = Celsius::missing();
};

class ChannelBoard {
public:
    explicit ChannelBoard(const Live& live);

    /// A channel's new figure, in V, A, degrees Celsius, W or a share of 1.
    void put(std::size_t channel, double value, BootTime at);

    /// The reading that is due once all figures of one delivery are put, if any: when the channel that leads is among
    /// them. It is the first battery current of the description that is not silent; where all currents are silent, the
    /// first such voltage. The rest of the reading is the newest that is known and not silent.
    [[nodiscard]] std::optional<TimedReading> due(BootTime at) const;

    /// The newest figures of the battery, silent ones left out.
    [[nodiscard]] TimedReading battery(BootTime now) const;

    struct Newest {
        double value = 0.0;
        BootTime at;
        bool seen = false;
    };
    [[nodiscard]] const Newest& newest(std::size_t channel) const { return newest_[channel]; }

    /// True when nothing was seen of a channel for longer than its source's patience.
    [[nodiscard]] bool silent(std::size_t channel, BootTime now) const;

    /// The age of the newest figure of the battery's current or voltage, silent or not; missing() before the first.
    [[nodiscard]] Second age(BootTime now) const;

private:
    /// The first channel of one of these lists that is not silent.
    [[nodiscard]] std::optional<std::size_t> first(const std::vector<std::size_t>& channels, BootTime now) const;

    std::vector<Second> patience_;  // by channel
    std::vector<Newest> newest_;
    std::vector<std::size_t> currents_;  // channels of the battery as a whole, in the order of the description
    std::vector<std::size_t> voltages_;
    std::vector<std::size_t> temperatures_;
};

}  // namespace amphora

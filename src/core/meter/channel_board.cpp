#include "core/meter/channel_board.hpp"

#include <algorithm>

namespace amphora {

ChannelBoard::ChannelBoard(const Live& live) : newest_(live.channels.size()) {
    for (std::size_t i = 0; i < live.channels.size(); ++i) {
        const described::Channel& c = live.channels[i];
        patience_.push_back(live.sources[c.source].patience());
        if (c.of != Subject::battery) continue;
        if (c.measures == Measurand::current || c.measures == Measurand::shunt_drop) currents_.push_back(i);
        if (c.measures == Measurand::voltage) voltages_.push_back(i);
        if (c.measures == Measurand::temperature) temperatures_.push_back(i);
    }
}

void ChannelBoard::put(std::size_t channel, double value, BootTime at) { newest_[channel] = {value, at, true}; }

bool ChannelBoard::silent(std::size_t channel, BootTime now) const {
    const Newest& n = newest_[channel];
    return !n.seen || now - n.at > patience_[channel];
}

std::optional<std::size_t> ChannelBoard::first(const std::vector<std::size_t>& channels, BootTime now) const {
    const auto found = std::ranges::find_if(channels, [&](std::size_t c) { return !silent(c, now); });
    return found == channels.end() ? std::nullopt : std::optional(*found);
}

std::optional<TimedReading> ChannelBoard::due(BootTime at) const {
    auto leads = first(currents_, at);
    if (!leads) leads = first(voltages_, at);
    if (!leads || newest_[*leads].at != at) return std::nullopt;
    return battery(at);
}

TimedReading ChannelBoard::battery(BootTime now) const {
    TimedReading reading{.at = now};
    if (const auto c = first(currents_, now)) reading.current = Ampere(newest_[*c].value);
    if (const auto c = first(voltages_, now)) reading.voltage = Volt(newest_[*c].value);
    if (const auto c = first(temperatures_, now)) reading.temperature = Celsius(newest_[*c].value);
    return reading;
}

Second ChannelBoard::age(BootTime now) const {
    Second youngest = Second::missing();
    for (const auto* channels : {&currents_, &voltages_})
        for (const std::size_t c : *channels)
            if (newest_[c].seen && !(now - newest_[c].at >= youngest)) youngest = now - newest_[c].at;
    return youngest;
}

}  // namespace amphora

#include "io/live/modbus_wire.hpp"

#include <fmt/format.h>

#include <cstdint>
#include <memory>

#include "io/live/modbus_line.hpp"

namespace amphora::live {
namespace {

constexpr Second answer_within(0.5);

// A serial line has one master, whoever else is on it; a network connection of its own need not wait for the sources.
std::shared_ptr<ModbusLine> line_for(const described::Relay& relay) {
    if (relay.at.starts_with('/')) return modbus_line(relay.at, relay.serial);
    return std::make_shared<ModbusLine>(relay.at, relay.serial);
}

class ModbusWire : public sink::RelayWire {
public:
    explicit ModbusWire(const described::Relay& relay) : relay_(relay), line_(line_for(relay)) {}

    std::expected<void, std::string> put(bool on) override {
        const auto done = line_->write_coil(relay_.unit, coil(), on, answer_within);
        if (!done) return std::unexpected(fmt::format("did not take the order: {}", done.error().why));
        return {};
    }

    std::expected<std::optional<bool>, std::string> look() override {
        if (!relay_.confirm_coil) return std::nullopt;
        const auto on = line_->read_coil(relay_.unit, coil(), answer_within);
        if (!on) return std::unexpected(fmt::format("does not say how it stands: {}", on.error().why));
        return *on;
    }

private:
    [[nodiscard]] std::uint16_t coil() const { return static_cast<std::uint16_t>(relay_.coil); }

    described::Relay relay_;
    std::shared_ptr<ModbusLine> line_;
};

}  // namespace

std::unique_ptr<sink::RelayWire> modbus_wire(const described::Relay& relay) {
    return std::make_unique<ModbusWire>(relay);
}

}  // namespace amphora::live

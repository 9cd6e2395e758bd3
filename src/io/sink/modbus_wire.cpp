// A relay that is a coil of a Modbus device, over TCP or a serial line.
#include <fmt/format.h>
#include <modbus/modbus.h>

#include <cerrno>
#include <cstdint>
#include <memory>

#include "io/sink/relay.hpp"

namespace amphora::sink {
namespace {

constexpr std::uint32_t answer_us = 500'000;

struct Close {
    void operator()(modbus_t* context) const {
        modbus_close(context);
        modbus_free(context);
    }
};
using Context = std::unique_ptr<modbus_t, Close>;

char parity_letter(described::Parity parity) {
    return parity == described::Parity::even ? 'E' : parity == described::Parity::odd ? 'O' : 'N';
}

Context context_for(const described::Relay& relay) {
    if (relay.at.starts_with('/'))
        return Context(modbus_new_rtu(relay.at.c_str(), relay.serial.baud, parity_letter(relay.serial.parity), 8, 1));
    const auto colon = relay.at.rfind(':');
    std::string host = relay.at.substr(0, colon);
    if (host.starts_with('[') && host.ends_with(']')) host = host.substr(1, host.size() - 2);
    const std::string port = colon == std::string::npos ? "502" : relay.at.substr(colon + 1);
    return Context(modbus_new_tcp_pi(host.c_str(), port.c_str()));
}

class ModbusWire : public RelayWire {
public:
    explicit ModbusWire(const described::Relay& relay) : relay_(relay) {}

    std::expected<void, std::string> put(bool on) override {
        if (auto ready = connect(); !ready) return ready;
        if (modbus_write_bit(context_.get(), relay_.coil, on ? 1 : 0) == 1) return {};
        return failed("did not take the order");
    }

    std::expected<std::optional<bool>, std::string> look() override {
        if (!relay_.confirm_coil) return std::nullopt;
        if (auto ready = connect(); !ready) return std::unexpected(ready.error());
        std::uint8_t bit = 0;
        if (modbus_read_bits(context_.get(), relay_.coil, 1, &bit) == 1) return bit != 0;
        return std::unexpected(failed("does not say how it stands").error());
    }

private:
    std::expected<void, std::string> connect() {
        if (context_) return {};
        context_ = context_for(relay_);
        if (!context_) return failed("is no address of a Modbus device");
        modbus_set_slave(context_.get(), relay_.unit);
        modbus_set_response_timeout(context_.get(), 0, answer_us);
        if (modbus_connect(context_.get()) == 0) return {};
        return failed("cannot be reached");
    }

    // Whatever went wrong, the line is opened anew: an answer that comes late must not pass for the next one.
    std::unexpected<std::string> failed(const std::string& what) {
        const int error = errno;
        context_.reset();
        return std::unexpected(fmt::format("{} coil {}: {}: {}", relay_.at, relay_.coil, what, modbus_strerror(error)));
    }

    described::Relay relay_;
    Context context_;
};

}  // namespace

std::unique_ptr<RelayWire> modbus_wire(const described::Relay& relay) { return std::make_unique<ModbusWire>(relay); }

}  // namespace amphora::sink

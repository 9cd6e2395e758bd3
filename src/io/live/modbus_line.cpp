#include "io/live/modbus_line.hpp"

#include <fmt/format.h>
#include <modbus.h>

#include <array>
#include <cerrno>
#include <cmath>
#include <map>
#include <utility>

#include "io/live/line_source.hpp"

namespace amphora::live {
namespace {

char letter(described::Parity parity) {
    switch (parity) {
        case described::Parity::even:
            return 'E';
        case described::Parity::odd:
            return 'O';
        case described::Parity::none:
            break;
    }
    return 'N';
}

modbus_t* new_context(const std::string& place, bool is_serial, const described::SerialLine& serial) {
    if (is_serial) return modbus_new_rtu(place.c_str(), serial.baud, letter(serial.parity), 8, 1);
    const auto host = host_and_port(place).value_or(HostPort{place, "502"});
    return modbus_new_tcp_pi(host.host.c_str(), host.port.c_str());
}

// An exception is an answer; so is a frame that does not belong to the question, or a silent device on a bus of others.
bool loses_the_line(int code, bool is_serial) {
    if (code == ETIMEDOUT) return !is_serial;  // a late answer would be taken for that to the next question
    return code < MODBUS_ENOBASE;
}

std::string_view word(modbus::RegisterBank bank) { return bank == modbus::RegisterBank::input ? "input" : "holding"; }

}  // namespace

ModbusLine::ModbusLine(std::string place, const described::SerialLine& serial)
    : place_(std::move(place)), serial_(serial), is_serial_(place_.starts_with('/')) {}

ModbusLine::~ModbusLine() { let_go(); }

void ModbusLine::let_go() {
    if (context_ == nullptr) return;
    modbus_close(context_);
    modbus_free(std::exchange(context_, nullptr));
}

std::expected<void, LineError> ModbusLine::ready(int device, Second timeout) {
    const auto seconds = static_cast<std::uint32_t>(timeout.value());
    const auto micros = static_cast<std::uint32_t>((timeout.value() - std::floor(timeout.value())) * 1e6);
    const bool connected = context_ != nullptr;
    auto* context = connected ? context_ : new_context(place_, is_serial_, serial_);
    if (context == nullptr)
        return std::unexpected(LineError{fmt::format("{}: {}", place_, modbus_strerror(errno)), true});
    modbus_set_response_timeout(context, seconds, micros);
    modbus_set_slave(context, device);
    if (!connected && modbus_connect(context) != 0) {
        const int code = errno;
        modbus_free(context);
        return std::unexpected(LineError{
            fmt::format("{}: cannot be reached: {}", place_, code == 0 ? "no such host" : modbus_strerror(code)),
            true});
    }
    context_ = context;
    return {};
}

LineError ModbusLine::failure(const std::string& what) {
    const int code = errno;
    const bool lost = loses_the_line(code, is_serial_);
    if (lost)
        let_go();
    else
        modbus_flush(context_);
    return {fmt::format("{}, {}: {}", place_, what, modbus_strerror(code)), lost};
}

std::expected<std::vector<modbus::Word>, LineError> ModbusLine::read(int device, const modbus::Request& request,
                                                                     Second timeout) {
    const std::scoped_lock lock(mutex_);
    if (const auto can = ready(device, timeout); !can) return std::unexpected(can.error());
    std::array<modbus::Word, modbus::most_words> words{};
    const auto read =
        request.bank == modbus::RegisterBank::input ? &modbus_read_input_registers : &modbus_read_registers;
    const int got = read(context_, request.address, request.words, words.data());
    if (got != request.words)
        return std::unexpected(failure(fmt::format("device {}, {} registers {} to {}", device, word(request.bank),
                                                   request.address, request.address + request.words - 1)));
    return std::vector<modbus::Word>(words.begin(), words.begin() + got);
}

std::expected<bool, LineError> ModbusLine::read_coil(int device, std::uint16_t address, Second timeout) {
    const std::scoped_lock lock(mutex_);
    if (const auto can = ready(device, timeout); !can) return std::unexpected(can.error());
    std::uint8_t on = 0;
    if (modbus_read_bits(context_, address, 1, &on) != 1)
        return std::unexpected(failure(fmt::format("device {}, coil {}", device, address)));
    return on != 0;
}

std::expected<void, LineError> ModbusLine::write_coil(int device, std::uint16_t address, bool on, Second timeout) {
    const std::scoped_lock lock(mutex_);
    if (auto can = ready(device, timeout); !can) return can;
    if (modbus_write_bit(context_, address, on ? 1 : 0) != 1)
        return std::unexpected(failure(fmt::format("device {}, coil {}", device, address)));
    return {};
}

std::shared_ptr<ModbusLine> modbus_line(const std::string& place, const described::SerialLine& serial) {
    static std::mutex mutex;
    static std::map<std::string, std::weak_ptr<ModbusLine>> lines;
    const std::scoped_lock lock(mutex);
    auto line = lines[place].lock();
    if (!line) lines[place] = line = std::make_shared<ModbusLine>(place, serial);
    return line;
}

}  // namespace amphora::live

// A Modbus master on a serial line (RTU) or a TCP connection. Every call may wait for the device, as long as its
// timeout.
#pragma once

#include <cstdint>
#include <expected>
#include <memory>
#include <mutex>
#include <string>
#include <vector>

#include "core/system/live.hpp"
#include "io/source/modbus/register_value.hpp"
#include "io/source/modbus/request_plan.hpp"

struct _modbus;  // NOLINT(bugprone-reserved-identifier): the library's own name for it

namespace amphora::live {

struct LineError {
    std::string why;
    bool lost = false;  // the connection is gone, not just this answer
};

/// Safe to use from several threads, one call after the other: a bus has one master. Connects when it is asked; lets go
/// when the connection is lost, and at its end.
class ModbusLine {
public:
    ModbusLine(std::string place, const described::SerialLine& serial);
    ModbusLine(const ModbusLine&) = delete;
    ModbusLine& operator=(const ModbusLine&) = delete;
    ~ModbusLine();

    /// The words of a request from a device (1 to 247).
    [[nodiscard]] std::expected<std::vector<modbus::Word>, LineError> read(int device, const modbus::Request& request,
                                                                           Second timeout);
    /// What a coil says, and setting it (functions 01 and 05).
    [[nodiscard]] std::expected<bool, LineError> read_coil(int device, std::uint16_t address, Second timeout);
    [[nodiscard]] std::expected<void, LineError> write_coil(int device, std::uint16_t address, bool on, Second timeout);

private:
    void let_go();
    [[nodiscard]] std::expected<void, LineError> ready(int device, Second timeout);
    [[nodiscard]] LineError failure(const std::string& what);

    std::mutex mutex_;
    std::string place_;
    described::SerialLine serial_;
    bool is_serial_;
    _modbus* context_ = nullptr;  // connected, or nothing
};

/// The line at a place: a device file, or "host", "host:port" (port 502 if none is said). All who ask for the same
/// place at the same time share one.
[[nodiscard]] std::shared_ptr<ModbusLine> modbus_line(const std::string& place, const described::SerialLine& serial);

}  // namespace amphora::live

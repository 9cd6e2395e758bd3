// Where a running recorder is found: its record, its socket.
#pragma once

#include <expected>
#include <filesystem>
#include <string>

#include "app/exit.hpp"
#include "app/record_place.hpp"

namespace CLI {
class App;
}

namespace amphora::app {

/// The socket of the recorder that runs as a service.
inline constexpr const char* service_socket = "/run/amphora/recorder.sock";

/// S.sock beside the record S.amphora.
[[nodiscard]] std::filesystem::path socket_beside(const std::filesystem::path& record);

/// S.access beside the record S.amphora: who may come in over the network.
[[nodiscard]] std::filesystem::path access_beside(const std::filesystem::path& record);

/// S.certificate beside the record S.amphora.
[[nodiscard]] std::filesystem::path certificate_beside(const std::filesystem::path& record);

/// S.access of the page that runs as a service.
inline constexpr const char* service_access = "/var/lib/amphora/record.access";

struct SocketOptions {
    std::string system;
    std::string socket;
};

/// Adds --system and --socket.
void add_socket_options(CLI::App& command, SocketOptions& options);

/// The socket to ask at: as named, or beside the record of the description, or else that of the service.
[[nodiscard]] std::expected<std::filesystem::path, Exit> locate_socket(const SocketOptions& options);

}  // namespace amphora::app

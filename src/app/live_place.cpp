#include "app/live_place.hpp"

#include <CLI/CLI.hpp>

#include "app/description.hpp"

namespace amphora::app {

std::filesystem::path socket_beside(const std::filesystem::path& record) {
    return std::filesystem::path(record).replace_extension(".sock");
}

std::filesystem::path access_beside(const std::filesystem::path& record) {
    return std::filesystem::path(record).replace_extension(".access");
}

std::filesystem::path certificate_beside(const std::filesystem::path& record) {
    return std::filesystem::path(record).replace_extension(".certificate");
}

void add_socket_options(CLI::App& command, SocketOptions& options) {
    add_description_option(command, options.system, "description of the system; its recorder is asked");
    command.add_option("--socket", options.socket, "the recorder's socket, if it lies elsewhere")->type_name("FILE");
}

std::expected<std::filesystem::path, Exit> locate_socket(const SocketOptions& options) {
    if (!options.socket.empty()) return options.socket;
    if (options.system.empty()) return service_socket;
    const auto place = locate_record({options.system, {}});
    if (!place) return std::unexpected(place.error());
    return socket_beside(place->file);
}

}  // namespace amphora::app

// Asks the recorder over its socket, and waits for the answer: for commands, and for threads of their own.
#pragma once

#include <sys/types.h>

#include <chrono>
#include <expected>
#include <filesystem>
#include <nlohmann/json.hpp>
#include <optional>
#include <string>

namespace amphora::live {

class SocketClient {
public:
    using Json = nlohmann::ordered_json;

    /// Fails with a sentence, as when no recorder runs.
    [[nodiscard]] static std::expected<SocketClient, std::string> connect(const std::filesystem::path& path);
    SocketClient(SocketClient&& other) noexcept;
    SocketClient& operator=(SocketClient&& other) noexcept;
    ~SocketClient();

    /// The answer to {"ask": name, ...}: the member called `name`. Fails with the recorder's own words.
    [[nodiscard]] std::expected<Json, std::string> ask(const std::string& name, Json arguments = Json::object());

    /// Sends a question without waiting for its answer.
    [[nodiscard]] bool send(const Json& question);
    /// False once the recorder has gone.
    [[nodiscard]] bool connected() const { return connected_; }
    /// The next line, as JSON. Fails when the recorder has gone or says nothing for so long.
    [[nodiscard]] std::expected<Json, std::string> next(std::chrono::milliseconds patience);

private:
    explicit SocketClient(int descriptor) : descriptor_(descriptor) {}

    int descriptor_;
    bool connected_ = true;
    std::string read_;
};

/// The process that listens at `path`; nothing when none does.
[[nodiscard]] std::optional<pid_t> process_behind(const std::filesystem::path& path);

}  // namespace amphora::live

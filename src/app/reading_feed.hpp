// Readings as they come: from the recorder that runs, for commands that lead a person.
#pragma once

#include <chrono>
#include <expected>
#include <filesystem>
#include <optional>
#include <string>

#include "core/quantity/reading.hpp"
#include "io/live/socket_client.hpp"

namespace amphora::app {

class ReadingFeed {
public:
    /// Fails with a sentence, as when no recorder runs.
    [[nodiscard]] static std::expected<ReadingFeed, std::string> open(const std::filesystem::path& socket);

    /// The next reading of the battery, each once; nothing when none came for so long. Silent sources give a reading
    /// without a current. Fails when the recorder has gone.
    [[nodiscard]] std::expected<std::optional<Reading>, std::string> next(std::chrono::milliseconds patience);

    /// Moment of the newest reading.
    [[nodiscard]] Instant now() const { return newest_; }

private:
    explicit ReadingFeed(live::SocketClient client) : client_(std::move(client)) {}

    live::SocketClient client_;
    Instant newest_{};
};

}  // namespace amphora::app

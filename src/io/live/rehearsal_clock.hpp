// A clock for rehearsals: a day in minutes, and set wrong on purpose. Never used in earnest.
#pragma once

#include <expected>
#include <filesystem>
#include <memory>
#include <string>

#include "io/live/boot_clock.hpp"

namespace amphora::live {

/// Reads a file of one line, again and again: `SPEED OFFSET SYNCHRONISED BOOT`, as `60 -3600 1 first`. Time goes SPEED
/// times as fast (fixed once the clock is made), the clock on the wall stands OFFSET seconds beside the computer's, and
/// BOOT is the name of this start. A draft of the file must be put in its place by renaming.
class RehearsalClock : public BootClock {
public:
    [[nodiscard]] static std::expected<std::unique_ptr<RehearsalClock>, std::string> from(
        const std::filesystem::path& file);

    [[nodiscard]] BootTime now() const override;
    [[nodiscard]] WallTime wall() const override;
    [[nodiscard]] std::string boot_id() const override;
    [[nodiscard]] std::chrono::microseconds wait(Second time) const override;

private:
    struct Said {
        double speed = 1.0;
        double offset_s = 0.0;
        int synchronised = 0;
        std::string boot;
    };
    explicit RehearsalClock(std::filesystem::path file, double speed) : file_(std::move(file)), speed_(speed) {}
    [[nodiscard]] static std::expected<Said, std::string> read(const std::filesystem::path& file);

    std::filesystem::path file_;
    double speed_;
};

}  // namespace amphora::live

#include "io/live/rehearsal_clock.hpp"

#include <fmt/format.h>

#include <cmath>
#include <fstream>

namespace amphora::live {

std::expected<RehearsalClock::Said, std::string> RehearsalClock::read(const std::filesystem::path& file) {
    std::ifstream in(file);
    Said said;
    if (in >> said.speed >> said.offset_s >> said.synchronised >> said.boot && said.speed > 0) return said;
    return std::unexpected(fmt::format("{}: expected a line like \"60 0 1 first\"", file.string()));
}

std::expected<std::unique_ptr<RehearsalClock>, std::string> RehearsalClock::from(const std::filesystem::path& file) {
    const auto said = read(file);
    if (!said) return std::unexpected(said.error());
    return std::unique_ptr<RehearsalClock>(new RehearsalClock(file, said->speed));
}

BootTime RehearsalClock::now() const {
    return BootTime{static_cast<std::int64_t>(static_cast<double>(computer_clock().now().us) * speed_)};
}

// The wall clock goes as fast as the boot-time clock does: from the computer's own time of its start.
WallTime RehearsalClock::wall() const {
    const BootClock& real = computer_clock();
    const Said said = read(file_).value_or(Said{});
    const std::int64_t start_us = real.wall().at.us - real.now().us;
    return {Instant{start_us + now().us + std::llround(said.offset_s * 1e6)}, said.synchronised != 0};
}

std::string RehearsalClock::boot_id() const { return read(file_).value_or(Said{}).boot; }

std::chrono::microseconds RehearsalClock::wait(Second time) const {
    return std::chrono::microseconds(static_cast<std::int64_t>(time.value() * 1e6 / speed_));
}

}  // namespace amphora::live

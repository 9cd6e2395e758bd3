#include "io/live/boot_clock.hpp"

#include <sys/timex.h>

#include <ctime>
#include <fstream>

namespace amphora::live {
namespace {

std::int64_t microseconds_of(clockid_t clock) {
    timespec t{};
    clock_gettime(clock, &t);
    return std::int64_t{t.tv_sec} * 1'000'000 + t.tv_nsec / 1000;
}

class ComputerClock : public BootClock {
public:
    [[nodiscard]] BootTime now() const override { return BootTime{microseconds_of(CLOCK_BOOTTIME)}; }

    [[nodiscard]] WallTime wall() const override {
        timex kernel{};  // modes 0: asks only
        const bool synchronised = adjtimex(&kernel) != TIME_ERROR && (kernel.status & STA_UNSYNC) == 0;
        return {Instant{microseconds_of(CLOCK_REALTIME)}, synchronised};
    }

    [[nodiscard]] std::string boot_id() const override {
        std::ifstream file("/proc/sys/kernel/random/boot_id");
        std::string id;
        std::getline(file, id);
        return id.empty() ? "unknown" : id;
    }

    [[nodiscard]] std::chrono::microseconds wait(Second time) const override {
        return std::chrono::microseconds(static_cast<std::int64_t>(time.value() * 1e6));
    }
};

}  // namespace

const BootClock& computer_clock() {
    static const ComputerClock clock;
    return clock;
}

}  // namespace amphora::live

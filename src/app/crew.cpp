#include "app/crew.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <atomic>
#include <chrono>
#include <cstdio>
#include <string>
#include <thread>
#include <vector>

#include "app/terminal.hpp"

namespace amphora::app {
namespace {

void paint(int done, int all) {
    constexpr int width = 40;
    const int filled = done * width / std::max(all, 1);
    fmt::print(stderr, "\r[{:<{}}] {:3d} %", std::string(static_cast<std::size_t>(filled), '#'), width,
               done * 100 / std::max(all, 1));
    std::fflush(stderr);
}

/// Paints until it is told to stop, then wipes the line.
std::jthread painter(const std::atomic<int>& done, int all) {
    return std::jthread([&done, all](const std::stop_token& stop) {
        while (!stop.stop_requested()) {
            paint(done.load(), all);
            std::this_thread::sleep_for(std::chrono::milliseconds(50));
        }
        fmt::print(stderr, "\r{:60}\r", "");
    });
}

}  // namespace

design::Runner crew(unsigned threads, bool watched) {
    return [threads, watched](int count, const std::function<void(int)>& block) {
        std::atomic<int> next{0};
        std::atomic<int> done{0};
        const std::jthread bar = watched && is_watched(stderr) ? painter(done, count) : std::jthread();
        const auto work = [&] {
            for (int i = next++; i < count; i = next++) {
                block(i);
                ++done;
            }
        };
        const unsigned wanted = threads != 0 ? threads : std::max(1U, std::thread::hardware_concurrency());
        std::vector<std::jthread> others;
        for (unsigned i = 1; i < std::min(wanted, static_cast<unsigned>(count)); ++i) others.emplace_back(work);
        work();
    };
}

}  // namespace amphora::app

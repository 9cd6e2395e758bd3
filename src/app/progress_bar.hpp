// How far a long command has come, for a person who watches.
#pragma once

#include <chrono>
#include <cstdint>
#include <cstdio>
#include <optional>
#include <string_view>

namespace amphora::app {

/// Draws on one line of a stream, at most ten times a second and not before half a second has passed; draws nothing if
/// the stream is no terminal. The line is wiped when the bar ends.
class ProgressBar {
public:
    explicit ProgressBar(std::FILE* stream);
    ~ProgressBar();
    ProgressBar(const ProgressBar&) = delete;
    ProgressBar& operator=(const ProgressBar&) = delete;
    ProgressBar(ProgressBar&&) = delete;
    ProgressBar& operator=(ProgressBar&&) = delete;

    /// `in_all` is nothing where the end cannot be known (a pipe): then only what is done is shown.
    void show(std::uint64_t bytes_done, std::optional<std::uint64_t> in_all, std::uint64_t readings);
    /// A part of the work whose length is not known.
    void show(std::string_view what);

private:
    using Clock = std::chrono::steady_clock;
    void draw(std::string_view line);

    std::FILE* stream_;
    bool watched_;
    bool drawn_ = false;
    Clock::time_point start_ = Clock::now();
    Clock::time_point next_ = start_ + std::chrono::milliseconds(500);
};

}  // namespace amphora::app

#include "app/progress_bar.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <string>

#include "app/terminal.hpp"
#include "io/text/figure.hpp"

namespace amphora::app {
namespace {

constexpr std::size_t bar_width = 30;
constexpr std::string_view wipe = "\r\x1b[K";

}  // namespace

ProgressBar::ProgressBar(std::FILE* stream) : stream_(stream), watched_(is_watched(stream)) {}

ProgressBar::~ProgressBar() {
    if (drawn_) fmt::print(stream_, "{}", wipe);
}

void ProgressBar::show(std::uint64_t bytes_done, std::optional<std::uint64_t> in_all, std::uint64_t readings) {
    if (!watched_) return;
    const auto now = Clock::now();
    if (now < next_) return;
    next_ = now + std::chrono::milliseconds(100);
    if (!in_all || *in_all == 0) {
        draw(text::count_of(readings, "reading"));
        return;
    }
    const double share = std::min(1.0, static_cast<double>(bytes_done) / static_cast<double>(*in_all));
    const auto filled = static_cast<std::size_t>(share * bar_width);
    const double elapsed = std::chrono::duration<double>(now - start_).count();
    draw(fmt::format("[{}{}] {:.0f} %  {}, {} left", std::string(filled, '='), std::string(bar_width - filled, ' '),
                     share * 100, text::count_of(readings, "reading"),
                     text::duration(Second(elapsed * (1.0 - share) / std::max(share, 1e-3)))));
}

void ProgressBar::show(std::string_view what) {
    if (watched_ && Clock::now() >= start_ + std::chrono::milliseconds(500)) draw(what);
}

void ProgressBar::draw(std::string_view line) {
    fmt::print(stream_, "{}{}", wipe, line);
    std::fflush(stream_);
    drawn_ = true;
}

}  // namespace amphora::app

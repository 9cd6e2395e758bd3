#include "io/source/line_cutter.hpp"

#include <utility>

namespace amphora::source {

void LineCutter::begin(bool within) {
    rest_.clear();
    skipping_ = within;
}

std::uint64_t LineCutter::cut(std::string_view more, const std::function<bool(std::string_view)>& line) {
    std::uint64_t too_long = 0;
    while (!more.empty()) {
        const auto end = more.find('\n');
        if (!skipping_) rest_ += more.substr(0, end);
        if (!skipping_ && rest_.size() > longest) {
            ++too_long;
            skipping_ = true;
        }
        if (skipping_) rest_.clear();
        if (end == std::string_view::npos) break;
        more.remove_prefix(end + 1);
        const bool passed_over = skipping_;
        const std::string whole = std::exchange(rest_, {});
        skipping_ = false;
        if (!passed_over && !line(whole)) break;
    }
    return too_long;
}

}  // namespace amphora::source

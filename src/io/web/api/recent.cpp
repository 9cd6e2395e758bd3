#include "io/web/api/recent.hpp"

namespace amphora::web {
namespace {

constexpr Second longest{5.0 * 3600.0};
constexpr Second closest{0.9};

}  // namespace

void Recent::push(const Reading& reading) {
    if (!readings_.empty()) {
        if (reading.at < readings_.back().at)
            readings_.clear();
        else if (reading.at - readings_.back().at < closest)
            return;
    }
    readings_.push_back(reading);
    while (reading.at - readings_.front().at > longest) readings_.pop_front();
}

}  // namespace amphora::web

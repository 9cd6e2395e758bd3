#include "io/live/full_watch.hpp"

namespace amphora::live {

void FullWatch::follow(const LastEvidence& evidence) {
    if (evidence.kind == Evidence::none) return;
    if (evidence.kind == Evidence::full) {
        ever_ = true;
        full_at_ = evidence.at;
        in_before_ = out_before_ = AmpHour(0.0);
    } else if (evidence.at != seen_at_) {
        in_before_ += in_;
        out_before_ += out_;
    }
    seen_at_ = evidence.at;
    in_ = evidence.in_since;
    out_ = evidence.out_since;
}

std::optional<SinceFull> FullWatch::since() const {
    if (!ever_) return std::nullopt;
    return SinceFull{full_at_, in_before_ + in_, out_before_ + out_};
}

}  // namespace amphora::live

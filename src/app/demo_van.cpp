#include "app/demo_van.hpp"

#include "twin/blue_heron.hpp"

namespace amphora::app {
namespace {

constexpr Second day(86400);
constexpr Second recent(2 * 86400);
constexpr Second one_charge(4 * 3600);  // evidence of full that follows within this belongs to the same charge

}  // namespace

DemoVan::DemoVan(std::uint64_t seed, Instant start, double speed)
    : van_(twin::blue_heron(seed, start)), pipeline_(van_.system(), {.keep_for_hindsight = true}), speed_(speed) {}

void DemoVan::make_history(Instant end, const std::function<void(Instant)>& lived) {
    live(end + -recent, 5, lived);
    live(end, 1, lived);
}

void DemoVan::live(Instant end, int steps_per_piece, const std::function<void(Instant)>& lived) {
    int steps = 0;
    Instant told = van_.truth().at;
    while (van_.truth().at + van_.spec().interval <= end) {
        for (const Reading& reading : van_.step()) {
            past_.read(reading);
            if (!pipeline_.push(reading) || ++steps % steps_per_piece != 0) continue;
            const Estimate estimate = pipeline_.now();
            past_.close(estimate);
            watch_full(estimate.evidence);
        }
        if (lived && van_.truth().at - told >= day) lived(told = van_.truth().at);
    }
}

void DemoVan::look_back() { past_.look_back(pipeline_.hindsight()); }

void DemoVan::watch_full(const LastEvidence& evidence) {
    if (evidence.kind != Evidence::full || full_ == evidence.at) return;
    if (!full_ || evidence.at - *full_ > one_charge) ++times_full_;
    full_ = evidence.at;
}

web::Present DemoVan::present() const {
    web::Present present;
    present.estimate = pipeline_.now();
    if (full_) present.full = web::SinceFull{*full_, past_.moved_since(*full_)};
    present.fresh_for = Second(10);
    present.demonstration_speed = speed_;
    return present;
}

}  // namespace amphora::app

// The invented van "Blue Heron", lived with: its meter, the estimate made of what the meter says, and its past.
#pragma once

#include <functional>
#include <optional>

#include "app/demo_past.hpp"
#include "core/pipeline/pipeline.hpp"
#include "io/web/page_source.hpp"
#include "twin/van.hpp"

namespace amphora::app {

class DemoVan : public web::PageSource {
public:
    /// A van whose first reading comes at `start`; the same for the same seed. `speed` is what the page is told.
    DemoVan(std::uint64_t seed, Instant start, double speed);

    /// Lives the years before `end` fast, and keeps of them what a chart needs: all but the last two days in pieces of
    /// five minutes. `lived` is told how far it has come, about once per day lived.
    void make_history(Instant end, const std::function<void(Instant)>& lived);

    /// Lives on until this moment.
    void live_until(Instant end) { live(end, 1, {}); }

    /// Reads the past again with what is known now; about a tenth of a second for two years.
    void look_back();

    /// How often it has been known to be full.
    [[nodiscard]] std::uint64_t times_full() const { return times_full_; }
    /// What no meter could say.
    [[nodiscard]] Fraction true_state_of_charge() const { return van_.truth().state_of_charge; }

    [[nodiscard]] const System& system() const override { return van_.system(); }
    [[nodiscard]] web::Present present() const override;
    [[nodiscard]] Instant beginning() const override { return past_.beginning(); }
    [[nodiscard]] std::vector<web::Bucket> series(Instant from, Instant to, int count) const override {
        return past_.series(from, to, count);
    }

private:
    void live(Instant end, int steps_per_piece, const std::function<void(Instant)>& lived);
    void watch_full(const LastEvidence& evidence);

    twin::Van van_;
    Pipeline pipeline_;
    DemoPast past_;
    double speed_;
    std::optional<Instant> full_;
    std::uint64_t times_full_ = 0;
};

}  // namespace amphora::app

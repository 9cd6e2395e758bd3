// The invented van "Blue Heron", lived with: its meter, and the estimate made of what the meter says.
#pragma once

#include <functional>
#include <optional>

#include "core/pipeline/pipeline.hpp"
#include "io/record/reader.hpp"
#include "io/web/api/live_values.hpp"
#include "twin/van.hpp"

namespace amphora::app {

class DemoVan {
public:
    /// A van whose first reading comes at `start`; the same for the same seed. `system` is what its owner says of it.
    DemoVan(std::uint64_t seed, Instant start, System system);

    /// Lives on until this moment; `taken` gets each reading.
    void live_until(Instant end, const std::function<void(const Reading&)>& taken = {});

    /// Goes by another description of the same van; what it must know of the past it reads in the record.
    void describe(const System& system, const record::Reader& reader);

    [[nodiscard]] Estimate estimate() const { return pipeline_.now(); }
    [[nodiscard]] std::optional<web::SinceFull> since_full() const { return full_; }
    /// What no meter could say.
    [[nodiscard]] Fraction true_state_of_charge() const { return van_.truth().state_of_charge; }
    [[nodiscard]] const System& system() const { return system_; }
    [[nodiscard]] Instant birth() const { return van_.spec().start; }
    [[nodiscard]] Second interval() const { return van_.spec().interval; }

private:
    void take(const Reading& reading);

    twin::Van van_;
    System system_;
    Pipeline pipeline_;
    Instant last_{};
    std::optional<web::SinceFull> full_;
};

}  // namespace amphora::app

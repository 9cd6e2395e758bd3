#include "io/live/twin_source.hpp"

#include "twin/blue_heron.hpp"

namespace amphora::live {
namespace {

double figure(const Reading& reading, Measurand measures) {
    switch (measures) {
        case Measurand::current:
        case Measurand::shunt_drop:
            return reading.current.value();
        case Measurand::voltage:
            return reading.voltage.value();
        case Measurand::temperature:
            return reading.temperature.value();
        case Measurand::power:
            return (reading.voltage * reading.current).value();
        case Measurand::cell_voltage:
        case Measurand::state_of_charge:
            break;
    }
    return Volt::missing().value();
}

}  // namespace

void TwinSource::open() {
    if (!van_) {
        const auto seed = static_cast<std::uint64_t>(description().twin.seed);
        van_.emplace(twin::blue_heron(seed, clock().wall().at, description().interval));
    }
    opened();
    every_interval([this] { live_on(); });
}

void TwinSource::live_on() {
    for (const Reading& reading : van_->step()) {
        for (std::size_t i = 0; i < channels().size(); ++i) {
            const double value = figure(reading, channels()[i].description->measures);
            if (Volt(value).known()) take(i, value);
        }
        deliver();
    }
}

}  // namespace amphora::live

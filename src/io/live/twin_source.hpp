// An invented van in place of a meter: for trying out, and for rehearsals.
#pragma once

#include <optional>

#include "io/live/plug_source.hpp"
#include "twin/van.hpp"

namespace amphora::live {

class TwinSource : public PlugSource {
public:
    using PlugSource::PlugSource;

protected:
    void open() override;
    void close() override {}

private:
    void live_on();

    std::optional<twin::Van> van_;
};

}  // namespace amphora::live

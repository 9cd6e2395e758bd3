// What watches over the readings in the recorder, in the order in which it sees them.
#pragma once

#include <boost/asio/io_context.hpp>

#include "app/record_place.hpp"
#include "io/live/boot_clock.hpp"
#include "io/live/recorder.hpp"

namespace amphora::app {

/// Adds the guards and the outputs of the description; guards first, because they protect.
void add_watches(live::Recorder& recorder, boost::asio::io_context& loop, const live::BootClock& clock,
                 const RecordPlace& place);

}  // namespace amphora::app

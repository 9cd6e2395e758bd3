// Something that gives readings while they happen. All sources live on one event loop and one thread: nothing in a
// source may wait. A library that must wait gets a thread of its own inside its source and posts what it got to the
// loop.
//
// A new kind of source is a class derived from PlugSource (plug_source.hpp) in a file of its own, and a line in
// make_source.cpp.
#pragma once

#include <boost/asio/io_context.hpp>
#include <cstdint>
#include <expected>
#include <functional>
#include <memory>
#include <optional>
#include <span>
#include <string>

#include "core/quantity/boot_time.hpp"
#include "core/system/system.hpp"
#include "io/live/boot_clock.hpp"

namespace amphora::live {

/// One figure of one channel, already scaled: V, A (positive into the battery), degrees Celsius, W or a share of 1, by
/// the channel's measurand. A shunt's drop comes as the current that it stands for.
struct LiveSample {
    std::size_t channel = 0;  // index in System::live.channels
    double value = 0.0;
    BootTime at;
};

enum class SourceState : std::uint8_t { off, connecting, running, waiting };

/// How a source is doing. Counts begin when the program starts.
struct SourceHealth {
    SourceState state = SourceState::off;
    std::optional<BootTime> last_reading;
    std::uint64_t readings = 0;    // deliveries of one or more samples
    std::uint64_t refused = 0;     // lines or figures that made no sense
    std::uint64_t gaps = 0;        // times it was silent for longer than its patience
    std::uint64_t errors = 0;      // connections that failed or broke
    std::uint64_t reconnects = 0;  // times it came back
    std::string trouble;           // the last error, in words; empty once it runs again
};

/// What a source gets to work with. All outlive it.
struct SourceContext {
    boost::asio::io_context& loop;
    const BootClock& clock;
    const System& system;
    std::size_t source;  // index in System::live.sources
};

class LiveSource {
public:
    /// Called with samples of one moment, in the loop's thread; the span is good during the call.
    using Sink = std::function<void(std::span<const LiveSample>)>;

    LiveSource() = default;
    LiveSource(const LiveSource&) = delete;
    LiveSource& operator=(const LiveSource&) = delete;
    virtual ~LiveSource() = default;

    /// Begins, and returns at once. Never gives up: what fails is tried again with growing pauses, and told in
    /// health().
    virtual void start(Sink sink) = 0;
    /// Ends; the sink is not called any more.
    virtual void stop() = 0;

    [[nodiscard]] virtual const described::Source& description() const = 0;
    [[nodiscard]] virtual const SourceHealth& health() const = 0;
};

/// Makes the source of that index. Fails with a sentence when its description makes no sense for its kind.
[[nodiscard]] std::expected<std::unique_ptr<LiveSource>, std::string> make_source(const SourceContext& context);

}  // namespace amphora::live

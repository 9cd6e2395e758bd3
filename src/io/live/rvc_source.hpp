// Readings from an RV-C bus: from a CAN interface, or from candump's lines in a file, a pipe or the standard input.
#pragma once

#include <array>
#include <boost/asio/posix/stream_descriptor.hpp>
#include <boost/asio/steady_timer.hpp>
#include <memory>
#include <optional>
#include <string>

#include "io/live/plug_source.hpp"
#include "io/source/byte_input.hpp"
#include "io/source/line_cutter.hpp"
#include "io/source/line_splitter.hpp"
#include "io/source/rvc/bus_listener.hpp"
#include "io/source/rvc/can_frame.hpp"

namespace amphora::live {

/// Frames to samples; how the frames come is the derived class's.
class RvcSource : public PlugSource {
public:
    using PlugSource::PlugSource;

protected:
    void frame(const rvc::CanFrame& frame);
    void candump_line(std::string_view line);

private:
    rvc::BusListener listener_;
};

/// A CAN interface of Linux, such as can0. Only listens: it never sends a frame.
class CanSource : public RvcSource {
public:
    using RvcSource::RvcSource;

protected:
    void open() override;
    void close() override;

private:
    void read();

    boost::asio::posix::stream_descriptor stream_{loop()};
};

/// Lines as candump prints or logs them: "-" is the standard input, else a path. A pipe is read as lines come; a file
/// is played once, at the pace of its own times.
class CandumpSource : public RvcSource {
public:
    explicit CandumpSource(const SourceContext& context) : RvcSource(context), pause_(context.loop) {}

protected:
    void open() override;
    void close() override;

private:
    void read();
    void play();
    [[nodiscard]] Second until_due(std::string_view line);

    boost::asio::posix::stream_descriptor stream_{loop()};
    std::array<char, 4096> room_{};
    source::LineCutter cutter_;

    std::unique_ptr<source::ByteInput> log_;
    std::optional<source::LineSplitter> lines_;  // of the log
    std::string line_;                           // read, but not due yet
    boost::asio::steady_timer pause_;
    std::optional<Instant> first_;  // of the log
    BootTime began_;
};

/// The source for a place: "-", a path (with a '/' in it), or the name of an interface.
[[nodiscard]] std::unique_ptr<LiveSource> rvc_source(const SourceContext& context);

}  // namespace amphora::live

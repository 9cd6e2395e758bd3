// Readings from lines of text that come by a serial line, from the standard input or over TCP.
#pragma once

#include <array>
#include <boost/asio/ip/tcp.hpp>
#include <boost/asio/posix/stream_descriptor.hpp>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "io/live/plug_source.hpp"
#include "io/source/line_cutter.hpp"
#include "io/source/line_pattern.hpp"

namespace amphora::live {

/// Bytes to lines to samples; how the bytes come is the derived class's.
class LineSource : public PlugSource {
public:
    LineSource(const SourceContext& context, std::optional<source::LinePattern> pattern);

protected:
    /// A line without its end.
    void line(std::string_view text);
    /// Bytes as they come. A line that is longer than 4 KiB is passed over, and so is the first of a serial line that
    /// was opened in its middle (`begins_within`).
    void bytes(std::string_view more);
    void begin_lines(bool begins_within);

private:
    bool by_pattern(std::string_view text);
    bool by_json(std::string_view text);

    std::optional<source::LinePattern> pattern_;                // nothing: JSON
    std::vector<std::optional<std::size_t>> channel_of_field_;  // of the pattern
    source::LineCutter cutter_;
};

/// A serial device, or the standard input.
class DescriptorSource : public LineSource {
public:
    using LineSource::LineSource;

protected:
    void open() override;
    void close() override;

private:
    void read();

    boost::asio::posix::stream_descriptor stream_{loop()};
    std::array<char, 1024> room_{};
};

/// A host that sends lines to whoever connects: "host:port".
class TcpSource : public LineSource {
public:
    using LineSource::LineSource;

protected:
    void open() override;
    void close() override;

private:
    void read();

    boost::asio::ip::tcp::resolver resolver_{loop()};
    boost::asio::ip::tcp::socket socket_{loop()};
    std::array<char, 1024> room_{};
};

/// "host:port" or "[address]:port" in two; nothing where it is neither.
struct HostPort {
    std::string host;
    std::string port;
};
[[nodiscard]] std::optional<HostPort> host_and_port(std::string_view text);

}  // namespace amphora::live

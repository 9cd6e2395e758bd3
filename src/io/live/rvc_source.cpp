#include "io/live/rvc_source.hpp"

#include "io/source/rvc/candump_line.hpp"

namespace amphora::live {

// The figures of a frame are of one moment. A frame that nobody wants is no fault; one that cannot be read is.
void RvcSource::frame(const rvc::CanFrame& frame) {
    const auto at = clock().now();
    const auto understood = listener_.take(frame, at, [this](const rvc::BusFigure& figure) {
        for (std::size_t i = 0; i < channels().size(); ++i) {
            const auto& wanted = *channels()[i].description;
            if (wanted.message == figure.message && wanted.instance == figure.instance &&
                wanted.measures == figure.measures)
                take(i, figure.value);
        }
    });
    if (understood) return deliver(at);
    if (understood.error() == rvc::NoMessage::truncated || understood.error() == rvc::NoMessage::invalid) refuse();
}

void RvcSource::candump_line(std::string_view line) {
    if (line.find_first_not_of(" \t\r") == std::string_view::npos) return;
    if (const auto read = rvc::read_candump_line(line))
        frame(read->frame);
    else
        refuse();
}

std::unique_ptr<LiveSource> rvc_source(const SourceContext& context) {
    const auto& at = context.system.live.sources[context.source].at;
    if (at == "-" || at.find('/') != std::string::npos) return std::make_unique<CandumpSource>(context);
    return std::make_unique<CanSource>(context);
}

}  // namespace amphora::live

#include <fmt/format.h>

#include "io/live/line_source.hpp"
#include "io/live/live_source.hpp"
#include "io/live/twin_source.hpp"

namespace amphora::live {
namespace {

using Made = std::expected<std::unique_ptr<LiveSource>, std::string>;
using described::SourceKind;

template <class Kind>
Made lines(const SourceContext& context) {
    const auto& source = context.system.live.sources[context.source];
    std::optional<LinePattern> pattern;
    if (source.lines.format == described::LineFormat::pattern) {
        auto read = LinePattern::from(source.lines.pattern);
        if (!read) return std::unexpected(fmt::format("source \"{}\": its pattern: {}", source.name, read.error()));
        pattern = std::move(*read);
    }
    return std::make_unique<Kind>(context, std::move(pattern));
}

}  // namespace

Made make_source(const SourceContext& context) {
    const auto& source = context.system.live.sources[context.source];
    switch (source.kind) {
        case SourceKind::serial:
        case SourceKind::standard_input:
            return lines<DescriptorSource>(context);
        case SourceKind::tcp:
            return lines<TcpSource>(context);
        case SourceKind::twin:
            return std::make_unique<TwinSource>(context);
        case SourceKind::iio:
        case SourceKind::hwmon:
        case SourceKind::modbus:
        case SourceKind::sunspec:
        case SourceKind::rvc:
        case SourceKind::mqtt:
            break;
    }
    return std::unexpected(fmt::format("source \"{}\": this program was built without its kind", source.name));
}

}  // namespace amphora::live

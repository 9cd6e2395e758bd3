#include <fmt/format.h>

#include "io/live/line_source.hpp"
#include "io/live/live_source.hpp"
#include "io/live/mqtt_source.hpp"
#include "io/live/register_respondent.hpp"
#include "io/live/rvc_source.hpp"
#include "io/live/sunspec_respondent.hpp"
#include "io/live/sysfs_respondent.hpp"
#include "io/live/twin_source.hpp"

namespace amphora::live {
namespace {

using Made = std::expected<std::unique_ptr<LiveSource>, std::string>;
using described::SourceKind;

template <class Kind>
Made lines(const SourceContext& context) {
    const auto& source = context.system.live.sources[context.source];
    std::optional<source::LinePattern> pattern;
    if (source.lines.format == described::LineFormat::pattern) {
        auto read = source::LinePattern::from(source.lines.pattern);
        if (!read) return std::unexpected(fmt::format("source \"{}\": its pattern: {}", source.name, read.error()));
        pattern = std::move(*read);
    }
    return std::make_unique<Kind>(context, std::move(pattern));
}

std::shared_ptr<Respondent> respondent(const System& system, const described::Source& source,
                                       const std::vector<PlugChannel>& channels) {
    if (source.kind == SourceKind::iio || source.kind == SourceKind::hwmon)
        return std::make_shared<SysfsRespondent>(system, source, channels);
    auto line = modbus_line(source.at, source.serial);
    if (source.kind == SourceKind::sunspec)
        return std::make_shared<SunspecRespondent>(std::move(line), source, channels);
    return std::make_shared<RegisterRespondent>(std::move(line), source, channels);
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
            return std::make_unique<AskedSource>(context, respondent);
        case SourceKind::rvc:
            return rvc_source(context);
        case SourceKind::mqtt:
            return std::make_unique<MqttSource>(context);
    }
    return std::unexpected(fmt::format("source \"{}\": its kind is not known", source.name));
}

}  // namespace amphora::live

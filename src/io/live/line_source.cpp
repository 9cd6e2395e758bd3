#include "io/live/line_source.hpp"

#include <algorithm>
#include <nlohmann/json.hpp>

#include "io/source/channel_unit.hpp"
#include "io/source/decimal.hpp"
#include "io/source/json_figure.hpp"

namespace amphora::live {
namespace {

std::string field_of(const PlugChannel& c) {
    return c.description->field.empty() ? std::string(source::word(c.description->measures)) : c.description->field;
}

}  // namespace

LineSource::LineSource(const SourceContext& context, std::optional<source::LinePattern> pattern)
    : PlugSource(context), pattern_(std::move(pattern)) {
    if (!pattern_) return;
    for (const std::string& field : pattern_->fields()) {
        const auto of = std::ranges::find(channels(), field, field_of);
        channel_of_field_.push_back(
            of == channels().end() ? std::nullopt : std::optional(static_cast<std::size_t>(of - channels().begin())));
    }
}

void LineSource::begin_lines(bool begins_within) { cutter_.begin(begins_within); }

void LineSource::bytes(std::string_view more) {
    const std::uint64_t mine = run();
    auto too_long = cutter_.cut(more, [&](std::string_view text) {
        line(text);
        return mine == run();  // the sink may end this source
    });
    for (; too_long > 0; --too_long) refuse();
}

void LineSource::line(std::string_view text) {
    while (!text.empty() && (text.back() == '\r' || text.back() == '\0' || text.back() == ' ')) text.remove_suffix(1);
    if (text.empty()) return;
    if (pattern_ ? by_pattern(text) : by_json(text))
        deliver();
    else
        refuse();
}

bool LineSource::by_pattern(std::string_view text) {
    return pattern_->match(text, [this](std::size_t field, double value) {
        if (const auto channel = channel_of_field_[field]) take(*channel, value);
    });
}

bool LineSource::by_json(std::string_view text) {
    const auto object = nlohmann::json::parse(text, nullptr, false);
    if (!object.is_object()) return false;
    bool any = false;
    for (std::size_t i = 0; i < channels().size(); ++i) {
        const auto figure = source::figure_at(object, field_of(channels()[i]));
        if (!figure && figure.error() == source::FigureFault::none_there) continue;
        any = true;
        if (figure)
            take(i, *figure);
        else
            refuse();
    }
    return any;
}

std::optional<HostPort> host_and_port(std::string_view text) {
    const auto colon = text.rfind(':');
    if (colon == std::string_view::npos || colon == 0 || colon + 1 == text.size()) return std::nullopt;
    std::string_view host = text.substr(0, colon);
    if (host.starts_with('[') && host.ends_with(']')) host = host.substr(1, host.size() - 2);
    const std::string_view port = text.substr(colon + 1);
    if (host.empty() || port.size() > 5 || !std::ranges::all_of(port, source::is_digit)) return std::nullopt;
    return HostPort{std::string(host), std::string(port)};
}

}  // namespace amphora::live

#include "io/live/line_source.hpp"

#include <algorithm>
#include <nlohmann/json.hpp>

#include "io/live/channel_unit.hpp"
#include "io/source/decimal.hpp"

namespace amphora::live {
namespace {

using Json = nlohmann::json;
constexpr std::size_t longest = 4096;

std::string field_of(const PlugChannel& c) {
    return c.description->field.empty() ? std::string(word(c.description->measures)) : c.description->field;
}

/// What stands at a key ("voltage") or a JSON pointer ("/battery/voltage"); nullptr where nothing does.
const Json* at(const Json& object, const std::string& field) {
    if (!field.starts_with('/')) {
        const auto found = object.find(field);
        return found == object.end() ? nullptr : &*found;
    }
    const Json* here = &object;
    for (std::size_t from = 1; from <= field.size();) {
        const auto to = std::min(field.find('/', from), field.size());
        const std::string key = field.substr(from, to - from);
        from = to + 1;
        if (here->is_array()) {
            std::size_t index = 0;
            for (const char c : key) {
                if (!source::is_digit(c) || key.size() > 6) return nullptr;
                index = index * 10 + static_cast<std::size_t>(c - '0');
            }
            if (key.empty() || index >= here->size()) return nullptr;
            here = &(*here)[index];
            continue;
        }
        const auto found = here->find(key);
        if (found == here->end()) return nullptr;
        here = &*found;
    }
    return here;
}

/// A number, or text that is one.
std::optional<double> number(const Json& value) {
    if (value.is_number()) return value.get<double>();
    if (!value.is_string()) return std::nullopt;
    const auto& text = value.get_ref<const std::string&>();
    const auto read = source::read_decimal(text.data(), text.data() + text.size());
    if (read.fault != source::NumberFault::none || read.end != text.data() + text.size()) return std::nullopt;
    return read.value;
}

}  // namespace

LineSource::LineSource(const SourceContext& context, std::optional<LinePattern> pattern)
    : PlugSource(context), pattern_(std::move(pattern)) {
    if (!pattern_) return;
    for (const std::string& field : pattern_->fields()) {
        const auto of = std::ranges::find(channels(), field, field_of);
        channel_of_field_.push_back(
            of == channels().end() ? std::nullopt : std::optional(static_cast<std::size_t>(of - channels().begin())));
    }
}

void LineSource::begin_lines(bool begins_within) {
    rest_.clear();
    skipping_ = begins_within;
}

void LineSource::bytes(std::string_view more) {
    const std::uint64_t mine = run();
    while (!more.empty()) {
        const auto end = more.find('\n');
        rest_ += more.substr(0, end);
        if (end == std::string_view::npos) {
            if (rest_.size() > longest) {
                if (!skipping_) refuse();
                skipping_ = true;
                rest_.clear();
            }
            return;
        }
        more.remove_prefix(end + 1);
        if (!skipping_ && rest_.size() <= longest) line(rest_);
        if (mine != run()) return;  // the sink ended this source
        skipping_ = false;
        rest_.clear();
    }
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
    const Json object = Json::parse(text, nullptr, false);
    if (!object.is_object()) return false;
    bool any = false;
    for (std::size_t i = 0; i < channels().size(); ++i) {
        const Json* value = at(object, field_of(channels()[i]));
        if (value == nullptr || value->is_null()) continue;
        any = true;
        if (const auto figure = number(*value))
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

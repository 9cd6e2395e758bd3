#include "io/web/query.hpp"

#include <charconv>
#include <cmath>
#include <cstddef>

namespace amphora::web {
namespace {

constexpr std::size_t most_pairs = 32;

std::optional<std::string> decode(std::string_view text) {
    std::string out;
    for (std::size_t i = 0; i < text.size(); ++i) {
        char c = text[i];
        if (c == '+') {
            c = ' ';
        } else if (c == '%') {
            unsigned code = 0;
            const char* first = text.data() + i + 1;
            if (text.size() - i < 3 || std::from_chars(first, first + 2, code, 16).ptr != first + 2)
                return std::nullopt;
            c = static_cast<char>(code);
            i += 2;
        }
        if (static_cast<unsigned char>(c) < 0x20 || c == 0x7f) return std::nullopt;
        out += c;
    }
    return out;
}

}  // namespace

std::optional<Query> Query::parse(std::string_view text) {
    Query query;
    while (!text.empty()) {
        const std::string_view pair = text.substr(0, text.find('&'));
        text.remove_prefix(pair.size() == text.size() ? pair.size() : pair.size() + 1);
        if (pair.empty()) continue;
        const std::size_t equals = pair.find('=');
        auto name = decode(pair.substr(0, equals));
        auto value = decode(equals == std::string_view::npos ? std::string_view{} : pair.substr(equals + 1));
        if (!name || !value || query.pairs_.size() == most_pairs) return std::nullopt;
        query.pairs_.emplace_back(std::move(*name), std::move(*value));
    }
    return query;
}

std::optional<std::string_view> Query::find(std::string_view name) const {
    for (const auto& [key, value] : pairs_) {
        if (key == name) return value;
    }
    return std::nullopt;
}

std::optional<double> Query::number(std::string_view name) const {
    const auto text = find(name);
    if (!text) return std::nullopt;
    double value = 0;
    const auto [end, error] = std::from_chars(text->data(), text->data() + text->size(), value);
    if (error != std::errc{} || end != text->data() + text->size() || !std::isfinite(value)) return std::nullopt;
    return value;
}

}  // namespace amphora::web

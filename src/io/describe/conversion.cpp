#include "io/describe/conversion.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>

#include "io/describe/phrases.hpp"

namespace amphora::describe {
namespace {

bool within(const Range& range, double number) { return number >= range.low && number <= range.high; }  // false for NaN

std::optional<double> number_in(const Node& node) {
    if (const auto* whole = std::get_if<std::int64_t>(&node.value)) return static_cast<double>(*whole);
    if (const auto* number = std::get_if<double>(&node.value)) return *number;
    return std::nullopt;
}

// What a person who wrote this probably has to do.
std::string hint(const Key& key, const Node& node) {
    const bool is_numeric = key.kind == Kind::number || key.kind == Kind::whole;
    if (is_numeric && std::holds_alternative<std::string>(node.value))
        return "; write the number alone, without quotes or unit";
    const auto number = number_in(node);
    const bool looks_like_percent =
        number && key.unit.empty() && key.range.high <= 1.0 && *number > 1.0 && *number <= 100.0;
    if (key.kind == Kind::number && looks_like_percent)
        return fmt::format("; {} % is written {}", *number, *number / 100.0);
    if (const auto* word = std::get_if<std::string>(&node.value); word != nullptr && key.kind == Kind::word)
        return did_you_mean(*word, key.words);
    return "";
}

Misfit misfit(const Key& key, const Node& node) {
    return {node.at, -1, fmt::format("expected {}, found {}{}", wanted(key), found(node), hint(key, node))};
}

std::optional<Value> text_value(const Key& key, const std::string& text) {
    const auto is_start = [](char c) { return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U; };
    const auto is_control = [](char c) { return static_cast<unsigned char>(c) < 0x20 || c == 0x7F; };
    const auto characters = static_cast<double>(std::ranges::count_if(text, is_start));
    if (!within(key.range, characters) || std::ranges::any_of(text, is_control)) return std::nullopt;
    return text;
}

std::optional<Value> single(const Key& key, const Node& node) {
    const auto number = number_in(node);
    switch (key.kind) {
        case Kind::text:
            if (const auto* text = std::get_if<std::string>(&node.value)) return text_value(key, *text);
            break;
        case Kind::word:
            if (const auto* word = std::get_if<std::string>(&node.value);
                word != nullptr && std::ranges::count(key.words, *word))
                return *word;
            break;
        case Kind::number:
            if (number && within(key.range, *number)) return *number;
            break;
        case Kind::whole:
            if (const auto* whole = std::get_if<std::int64_t>(&node.value);
                whole != nullptr && within(key.range, static_cast<double>(*whole)))
                return *whole;
            break;
        case Kind::date:
            if (const auto* date = std::get_if<std::chrono::year_month_day>(&node.value)) return *date;
            break;
        case Kind::flag:
            if (const auto* flag = std::get_if<bool>(&node.value)) return *flag;
            break;
        case Kind::numbers:
        case Kind::texts:
            break;
    }
    return std::nullopt;
}

template <class T>
std::expected<Value, std::vector<Misfit>> list_of(Kind kind, const Key& key, const List& list) {
    Key item = key;
    item.kind = kind;
    std::vector<T> values;
    std::vector<Misfit> misfits;
    for (std::size_t i = 0; i < list.size(); ++i) {
        if (const auto value = single(item, list[i])) {
            values.push_back(std::get<T>(*value));
        } else {
            misfits.push_back(misfit(item, list[i]));
            misfits.back().item = static_cast<int>(i);
        }
    }
    if (!misfits.empty()) return std::unexpected(std::move(misfits));
    return values;
}

}  // namespace

std::expected<Value, std::vector<Misfit>> convert(const Key& key, const Node& node) {
    const auto* list = std::get_if<List>(&node.value);
    if (key.kind == Kind::numbers && list != nullptr) return list_of<double>(Kind::number, key, *list);
    if (key.kind == Kind::texts && list != nullptr) return list_of<std::string>(Kind::text, key, *list);
    if (auto value = single(key, node)) return std::move(*value);
    return std::unexpected(std::vector{misfit(key, node)});
}

}  // namespace amphora::describe

#include "io/describe/draft.hpp"

#include <fmt/format.h>

namespace amphora::describe {

const Node* Draft::node(std::string_view path) const {
    const auto at = given.find(path);
    return at == given.end() ? nullptr : at->second;
}

bool Draft::sound(std::string_view path) const { return !mistaken.contains(path); }

void Draft::mistake(Position at, std::string path, std::string message) {
    mistaken.insert(path);
    mistakes.push_back({at.line, at.column, std::move(path), std::move(message)});
}

void Draft::mistake_in(const std::string& table, std::string_view key, const std::string& message) {
    const auto path = key.empty() ? table : joined(table, key);
    const auto* place = node(path) != nullptr ? node(path) : node(table);
    if (place != nullptr && sound(path)) mistake(place->at, path, message);
}

std::string joined(std::string_view path, std::string_view name) {
    return path.empty() ? std::string(name) : fmt::format("{}.{}", path, name);
}

std::string numbered(std::string_view path, std::size_t index) { return fmt::format("{}[{}]", path, index + 1); }

}  // namespace amphora::describe

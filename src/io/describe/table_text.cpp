#include "io/describe/table_text.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "io/describe/edit.hpp"
#include "io/describe/key.hpp"
#include "io/describe/phrases.hpp"

namespace amphora::describe {
namespace {

template <class Items, class Say>
std::string list_text(const Items& items, Say say) {
    std::string out;
    for (const auto& item : items) out += fmt::format("{}{}", out.empty() ? "" : ", ", say(item));
    return "[" + out + "]";
}

std::string toml(const Value& value) {
    if (const auto* flag = std::get_if<bool>(&value)) return *flag ? "true" : "false";
    if (const auto* text = std::get_if<std::string>(&value)) return quoted(*text);
    if (const auto* numbers = std::get_if<std::vector<double>>(&value))
        return list_text(*numbers, [](double n) { return fmt::format("{:.6g}", n); });
    if (const auto* texts = std::get_if<std::vector<std::string>>(&value))
        return list_text(*texts, [](const std::string& t) { return quoted(t); });
    return value_text(value, "");  // numbers and dates as they are
}

}  // namespace

std::string table_text(const System& system, std::string_view table, std::size_t index) {
    const auto& found = *std::ranges::find(all_tables(), table, &Table::path);
    System empty;
    found.enter(empty);
    std::string out = fmt::format("[[{}]]\n", table);
    for (const Key& key : found.keys) {
        if (!key.slot.read) continue;
        const Value value = key.slot.read(system, index);
        const bool unsaid = std::holds_alternative<std::monostate>(value) || value == key.slot.read(empty, 0);
        if (key.required || !unsaid) out += fmt::format("{} = {}\n", key.name, toml(value));
    }
    return out;
}

}  // namespace amphora::describe

#include "io/source/json_figure.hpp"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <nlohmann/json.hpp>
#include <optional>
#include <string>

#include "io/source/bad_line.hpp"
#include "io/source/csv_cell.hpp"
#include "io/source/decimal.hpp"

namespace amphora::source {
namespace {

using Json = nlohmann::json;

// RFC 6901, 4: first ~1 becomes /, then ~0 becomes ~; here in one pass, which is the same.
std::string unescaped(std::string_view token) {
    std::string name;
    for (std::size_t i = 0; i < token.size(); ++i) {
        if (token[i] == '~' && i + 1 < token.size()) {
            ++i;
            name += token[i] == '1' ? '/' : '~';
        } else {
            name += token[i];
        }
    }
    return name;
}

// RFC 6901, 4: digits without a leading zero.
std::optional<std::size_t> array_index(std::string_view token) {
    std::size_t index = 0;
    const auto [end, error] = std::from_chars(token.data(), token.data() + token.size(), index);
    if (error != std::errc{} || end != token.data() + token.size() || (token.size() > 1 && token.front() == '0'))
        return std::nullopt;
    return index;
}

const Json* member(const Json& here, std::string_view token) {
    if (here.is_array()) {
        const auto index = array_index(token);
        return index && *index < here.size() ? &here[*index] : nullptr;
    }
    if (!here.is_object()) return nullptr;
    const auto found = here.find(unescaped(token));
    return found == here.end() ? nullptr : &*found;
}

const Json* place(const Json& document, std::string_view pointer) {
    const Json* here = &document;
    while (here != nullptr && !pointer.empty()) {
        pointer.remove_prefix(1);
        const auto token = pointer.substr(0, pointer.find('/'));
        pointer.remove_prefix(token.size());
        here = member(*here, token);
    }
    return here;
}

std::expected<double, FigureFault> number_in_text(std::string_view text) {
    text = bare_cell(text);
    if (says_missing(text)) return std::unexpected(FigureFault::none_there);
    const auto* const last = text.data() + text.size();
    const auto read = read_decimal(text.data(), last);
    if (read.fault != NumberFault::none || read.end != last) return std::unexpected(FigureFault::not_a_number);
    return read.value;
}

std::expected<double, FigureFault> number(const Json& value) {
    if (value.is_null()) return std::unexpected(FigureFault::none_there);
    if (value.is_number()) return value.get<double>();
    if (value.is_string()) return number_in_text(value.get_ref<const std::string&>());
    return std::unexpected(FigureFault::not_a_number);
}

}  // namespace

std::expected<double, FigureFault> figure_at(const Json& document, std::string_view field) {
    const Json* found = nullptr;
    if (field.empty() || field.starts_with('/')) {
        found = place(document, field);
    } else if (document.is_object()) {
        const auto at = document.find(std::string(field));
        if (at != document.end()) found = &*at;
    }
    if (found == nullptr) return std::unexpected(FigureFault::none_there);
    const auto value = number(*found);
    if (value && !(std::abs(*value) <= largest_value)) return std::unexpected(FigureFault::not_a_number);
    return value;
}

bool is_json_pointer(std::string_view text) {
    for (std::size_t i = 0; i < text.size(); ++i)
        if (text[i] == '~' && (i + 1 == text.size() || (text[i + 1] != '0' && text[i + 1] != '1'))) return false;
    return text.empty() || text.front() == '/';
}

}  // namespace amphora::source

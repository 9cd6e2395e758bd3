// A number out of a JSON document, by a key or by a JSON pointer (RFC 6901).
#pragma once

#include <cstdint>
#include <expected>
#include <nlohmann/json_fwd.hpp>
#include <string_view>

namespace amphora::source {

enum class FigureFault : std::uint8_t {
    none_there,   // the place is not in this document, or holds null: nothing was measured
    not_a_number  // or one that no meter shows
};

/// The number at a place: that of the whole document with an empty `field`, at a JSON pointer if it begins with '/',
/// else at the key of that name. A number that stands as text ("13.25") is taken too; "" and "nan" are none_there.
[[nodiscard]] std::expected<double, FigureFault> figure_at(const nlohmann::json& document, std::string_view field);

/// True if text that begins with '/' is a JSON pointer: every '~' is followed by 0 or 1.
[[nodiscard]] bool is_json_pointer(std::string_view text);

}  // namespace amphora::source

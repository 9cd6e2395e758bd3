// The known word that a mistyped one was probably meant to be.
#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <string_view>

namespace amphora::text {

/// Edits (insert, delete, replace, swap of two neighbours) that turn `a` into `b`: the restricted Damerau-Levenshtein
/// distance. Letters count alike in either case.
[[nodiscard]] std::size_t edit_distance(std::string_view a, std::string_view b);

/// The known word that was most likely meant, or nothing if none is near enough to be worth a suggestion. In this
/// order: the fewest edits, if at most a third of the letters differ; the first that holds the whole word ("capacity"
/// in "design_capacity_ah"); the first short one that abbreviates it ("lfp" for "lifepo4"). The first of equals wins.
[[nodiscard]] std::optional<std::string_view> nearest(std::string_view word, std::span<const std::string_view> known);

}  // namespace amphora::text

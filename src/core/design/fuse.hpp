// Fuses and breakers: what each kind can break, at what voltage, in which sizes, and how long it stands a surge.
#pragma once

#include <optional>
#include <span>
#include <string_view>

#include "core/quantity/quantity.hpp"

namespace amphora::design {

/// Kinds by their standard's form, not by a maker's name.
enum class FuseKind { blade_mini, blade, blade_maxi, sf30, sf51, anl, class_t, nh, terminal, glass, breaker };

/// What a kind is like. Interrupting capacity and voltage are typical of data sheets, from memory; the part's own data
/// sheet wins and can be given in the description.
struct FuseKindData {
    FuseKind kind;
    std::string_view name;   // as written in the description
    std::string_view words;  // as said to a person
    std::string_view standard;
    Volt highest;
    Ampere interrupts;
    double stands_surge;              // multiple of its rating that it stands for about a second
    std::span<const double> ratings;  // A, as stocked
};
[[nodiscard]] std::span<const FuseKindData> fuse_kinds();
[[nodiscard]] const FuseKindData& data(FuseKind kind);

/// What a kind breaks at a system's nominal voltage: battery-post fuses fall from 10 kA at 12 V to 5 kA at 24 V and 2
/// kA at 48 V (typical of data sheets, from memory); the others keep theirs up to their highest voltage.
[[nodiscard]] Ampere interrupts_at(FuseKind kind, Volt nominal);

/// The smallest stocked rating of a kind that is at least this; nothing above its series.
[[nodiscard]] std::optional<Ampere> next_rating(FuseKind kind, Ampere at_least);
/// The greatest stocked rating of a kind that is at most this; nothing below its series.
[[nodiscard]] std::optional<Ampere> rating_below(FuseKind kind, Ampere at_most);
[[nodiscard]] bool is_stocked(FuseKind kind, Ampere rating);

/// Standard ratings by NEC 240.6(A), 15 to 600 A.
[[nodiscard]] std::span<const double> nec_ratings();

/// A continuous load fills a fuse to at most this part of its rating (fuse selection practice; NEC 210.20(A)).
constexpr double continuous_share = 0.8;
/// Under 50 V a device may be up to this multiple of the conductor's ampacity (33 CFR 183.455(c)(1)).
constexpr double most_over_ampacity = 1.5;
/// A fuse lets the one below it act first when it is at least this much larger, both of one kind (trade rule 1:1.6).
constexpr double selective_ratio = 1.6;

/// Time window in which a fuse must open at a multiple of its rating.
struct OpeningTime {
    double multiple;
    Second earliest;
    Second latest;
};
/// Windows by kind, where one is known: DIN 72581-3 form E (maxi, read); ISO 8820-3 forms C and F (at 1.35 times the
/// rating read, the rest from memory) and ISO 8820-5 (from memory). Empty where the kind has none here.
[[nodiscard]] std::span<const OpeningTime> opening_times(FuseKind kind);

}  // namespace amphora::design

// Short ways to write a row of the table of keys, for the many that are plain figures of equipment.
#pragma once

#include <array>
#include <string_view>
#include <utility>

#include "io/describe/slot.hpp"

namespace amphora::describe {

// Their defaults are built into the core; nothing is noted about them when a description is read.

inline Key number(std::string_view name, std::string_view unit, Range range, std::string_view meaning,
                  std::string_view otherwise, Slot slot) {
    return {.name = name,
            .kind = Kind::number,
            .unit = unit,
            .range = range,
            .meaning = meaning,
            .otherwise = {otherwise, "-", {}},
            .slot = std::move(slot)};
}

inline Key whole(std::string_view name, Range range, std::string_view meaning, std::string_view otherwise, Slot slot) {
    return {.name = name,
            .kind = Kind::whole,
            .range = range,
            .meaning = meaning,
            .otherwise = {otherwise, "-", {}},
            .slot = std::move(slot)};
}

inline Key flag(std::string_view name, std::string_view meaning, std::string_view otherwise, Slot slot) {
    return {.name = name,
            .kind = Kind::flag,
            .meaning = meaning,
            .otherwise = {otherwise, "-", {}},
            .slot = std::move(slot)};
}

inline Key text(std::string_view name, std::string_view meaning, std::string_view otherwise, Slot slot) {
    return {.name = name,
            .kind = Kind::text,
            .range = {1, 60},
            .meaning = meaning,
            .otherwise = {otherwise, "-", {}},
            .slot = std::move(slot)};
}

inline Key list(std::string_view name, std::string_view unit, Range range, std::string_view meaning,
                std::string_view otherwise, Slot slot) {
    return {.name = name,
            .kind = Kind::numbers,
            .unit = unit,
            .range = range,
            .meaning = meaning,
            .otherwise = {otherwise, "-", {}},
            .slot = std::move(slot)};
}

inline Key required(Key key) {
    key.required = true;
    key.otherwise = {};
    return key;
}

/// Words with their meaning; they must live as long as the program.
template <class Enum, std::size_t N>
using Words = std::array<std::pair<std::string_view, Enum>, N>;

template <class Enum, std::size_t N, class Accessor>
Key word(std::string_view name, const Words<Enum, N>& words, std::string_view meaning, std::string_view otherwise,
         Accessor at) {
    Key key{.name = name,
            .kind = Kind::word,
            .meaning = meaning,
            .otherwise = {otherwise, "-", {}},
            .slot = chosen<Enum>(words, at)};
    for (const auto& [said, unused] : words) key.words.push_back(said);
    return key;
}

}  // namespace amphora::describe

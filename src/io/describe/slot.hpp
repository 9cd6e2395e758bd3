// Makes a Slot from an accessor: a generic lambda (system, index) -> member, which serves for reading and writing.
#pragma once

#include <concepts>
#include <optional>
#include <span>
#include <type_traits>
#include <utility>

#include "io/describe/key.hpp"

namespace amphora::describe {

template <class T>
concept IsQuantity = requires(const T q) {
    { q.value() } -> std::same_as<double>;
    { q.known() } -> std::same_as<bool>;
};

template <class Accessor>
using Stored = std::remove_reference_t<std::invoke_result_t<Accessor, System&, std::size_t>>;

/// Text, a list of texts, a whole number, yes or no, or an optional date, kept as it is.
template <class Accessor>
Slot kept(Accessor at) {
    using T = Stored<Accessor>;
    if constexpr (std::same_as<T, std::string>) {
        return {[at](System& s, std::size_t i, const Value& v) { at(s, i) = std::get<std::string>(v); },
                [at](const System& s, std::size_t i) -> Value {
                    if (at(s, i).empty()) return {};
                    return at(s, i);
                }};
    } else if constexpr (std::same_as<T, std::vector<std::string>>) {
        return {[at](System& s, std::size_t i, const Value& v) { at(s, i) = std::get<T>(v); },
                [at](const System& s, std::size_t i) -> Value {
                    if (at(s, i).empty()) return {};
                    return at(s, i);
                }};
    } else if constexpr (std::same_as<T, bool>) {
        return {[at](System& s, std::size_t i, const Value& v) { at(s, i) = std::get<bool>(v); },
                [at](const System& s, std::size_t i) -> Value { return at(s, i); }};
    } else if constexpr (std::same_as<T, int>) {
        return {
            [at](System& s, std::size_t i, const Value& v) { at(s, i) = static_cast<int>(std::get<std::int64_t>(v)); },
            [at](const System& s, std::size_t i) -> Value { return std::int64_t{at(s, i)}; }};
    } else {
        return {[at](System& s, std::size_t i, const Value& v) { at(s, i) = std::get<typename T::value_type>(v); },
                [at](const System& s, std::size_t i) -> Value {
                    if (!at(s, i)) return {};
                    return *at(s, i);
                }};
    }
}

/// A quantity, or a list of them. `unit` is the file's unit in the quantity's own (1e-3 for mV kept as Volt).
template <class Accessor>
Slot measured(Accessor at, double unit = 1.0) {
    using T = Stored<Accessor>;
    if constexpr (IsQuantity<T>) {
        return {[at, unit](System& s, std::size_t i, const Value& v) { at(s, i) = T(std::get<double>(v) * unit); },
                [at, unit](const System& s, std::size_t i) -> Value {
                    if (!at(s, i).known()) return {};
                    return at(s, i).value() / unit;
                }};
    } else {
        using Item = typename T::value_type;
        return {[at, unit](System& s, std::size_t i, const Value& v) {
                    at(s, i).clear();
                    for (const double number : std::get<std::vector<double>>(v))
                        at(s, i).push_back(Item(number * unit));
                },
                [at, unit](const System& s, std::size_t i) -> Value {
                    std::vector<double> numbers;
                    for (const auto item : at(s, i)) numbers.push_back(item.value() / unit);
                    return numbers;
                }};
    }
}

/// One of several words, each with its meaning in the core. `words` must outlive the slot.
template <class Enum, class Accessor>
Slot chosen(std::span<const std::pair<std::string_view, Enum>> words, Accessor at) {
    return {[words, at](System& s, std::size_t i, const Value& v) {
                for (const auto& [word, meaning] : words)
                    if (word == std::get<std::string>(v)) at(s, i) = meaning;
            },
            [words, at](const System& s, std::size_t i) -> Value {
                for (const auto& [word, meaning] : words)
                    if (meaning == at(s, i)) return std::string(word);
                return {};
            }};
}

}  // namespace amphora::describe

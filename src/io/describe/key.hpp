// What one row of the table of keys says: the name, what may stand there, its unit, its default and where that comes
// from, what it means, and where in the System the value lives.
#pragma once

#include <chrono>
#include <cstdint>
#include <functional>
#include <span>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "core/system/system.hpp"

namespace amphora::describe {

/// A value as it stands in the file, in the key's unit. monostate: there is none.
using Value = std::variant<std::monostate, bool, std::int64_t, double, std::string, std::vector<double>,
                           std::vector<std::string>, std::chrono::year_month_day>;

enum class Kind : std::uint8_t { text, word, number, whole, numbers, texts, date, flag };

/// Both ends included. For text the number of characters; for lists it holds for each.
struct Range {
    double low = 0.0;
    double high = 0.0;
};

/// Where a value lives in the System. `index` picks the element of a repeated table, and is 0 otherwise.
struct Slot {
    std::function<void(System&, std::size_t index, const Value&)> write;
    std::function<Value(const System&, std::size_t index)> read;
};

/// What holds if the file does not say. May look at earlier tables and at what the file gave in its own.
struct Default {
    std::string_view text;    // for the reference page: "20 for lead-acid, 5 for lithium"; empty: there is none
    std::string_view source;  // where it comes from
    std::function<Value(const System&, std::size_t index)> value{};  // empty: nothing is stored
    std::function<std::string(const System&)> why{};                 // the source for this system; empty: as above
};

struct Key {
    std::string_view name;
    Kind kind = Kind::text;
    std::string_view unit{};
    Range range{};
    std::vector<std::string_view> words{};  // for Kind::word
    bool required = false;
    std::string_view meaning{};
    Default otherwise{};
    Slot slot{};  // empty: checked, but not kept
};

enum class Presence : std::uint8_t { always, optional, repeated };

struct Table {
    std::string_view path;  // "battery.full"; "" is the top of the file
    Presence presence = Presence::always;
    std::string_view meaning{};
    std::vector<Key> keys{};
    std::function<void(System&)> enter{};               // makes room for it: optional and repeated tables only
    std::function<std::size_t(const System&)> count{};  // how many there are: optional and repeated tables only
    /// Of a repeated table in a repeated one: which of those this one stands in. Both count through the whole file.
    std::function<std::size_t(const System&, std::size_t)> inside{};
};

/// Every table of a description, in the order in which the defaults are filled in and the reference page is printed.
[[nodiscard]] const std::vector<Table>& all_tables();

}  // namespace amphora::describe

// A TOML text as a tree of nodes that know where they stand in it. The only file that knows the TOML library is
// document.cpp.
#pragma once

#include <chrono>
#include <expected>
#include <memory>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "io/describe/mistake.hpp"

namespace amphora::describe {

struct Member;
struct Node;
using List = std::vector<Node>;
using Members = std::vector<Member>;
/// A time of day, with or without a date: no key takes one, it is only kept to be named in a mistake.
struct Moment {};

struct Node {
    Position at;
    std::variant<bool, std::int64_t, double, std::string, std::chrono::year_month_day, Moment, List, Members> value;
};

struct Member {
    Position at;  // of the key
    std::string name;
    Node node;
};

/// The document's root table, members in the order of the text; or the first violation of TOML's grammar.
[[nodiscard]] std::expected<Node, Mistake> parse_document(std::string_view text);

}  // namespace amphora::describe

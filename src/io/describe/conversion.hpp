// From a node of the document to the value of a key.
#pragma once

#include <expected>
#include <string>
#include <vector>

#include "io/describe/document.hpp"
#include "io/describe/key.hpp"

namespace amphora::describe {

/// What is wrong with a value, and where; `item` is the place in a list, from 0, or -1 for the value as a whole.
struct Misfit {
    Position at;
    int item = -1;
    std::string message;
};

/// The value, or everything that is wrong with it.
[[nodiscard]] std::expected<Value, std::vector<Misfit>> convert(const Key& key, const Node& node);

}  // namespace amphora::describe

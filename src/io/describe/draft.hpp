// A description while it is being read: what is known so far, where it stands in the text, and what is wrong with it.
#pragma once

#include <map>
#include <set>
#include <string>
#include <string_view>
#include <vector>

#include "core/system/system.hpp"
#include "io/describe/describe.hpp"
#include "io/describe/document.hpp"

namespace amphora::describe {

struct Draft {
    System system;
    std::vector<Note> notes;
    Mistakes mistakes;
    std::set<std::string, std::less<>> mistaken;            // the paths of the mistakes
    std::map<std::string, const Node*, std::less<>> given;  // by path, tables and keys alike
    std::map<std::string_view, std::vector<std::string>>
        instances;  // by repeated table: the path of each that is there

    /// The node at a path, or nullptr if the file does not have it.
    [[nodiscard]] const Node* node(std::string_view path) const;

    /// True if nothing is wrong with this key so far, so that another can be judged by it.
    [[nodiscard]] bool sound(std::string_view path) const;

    void mistake(Position at, std::string path, std::string message);

    /// A mistake at a key of a table, or at the table where the key is not given; none if the key is wrong already.
    void mistake_in(const std::string& table, std::string_view key, const std::string& message);
};

/// "battery" and "chemistry" make "battery.chemistry"; at the top of the file the name stands alone.
[[nodiscard]] std::string joined(std::string_view path, std::string_view name);

/// "meter" and 0 make "meter[1]": a person counts from one.
[[nodiscard]] std::string numbered(std::string_view path, std::size_t index);

}  // namespace amphora::describe

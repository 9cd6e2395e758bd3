// What follows the question mark of a request: names and values, decoded.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace amphora::web {

class Query {
public:
    /// Decodes `a=1&b=x%20y` (percent-encoding and '+' as in HTML forms). Nothing when an escape is malformed, a value
    /// holds a control character, or there are more than 32 pairs.
    static std::optional<Query> parse(std::string_view text);

    /// The value of `name`, the first one if it is given twice.
    [[nodiscard]] std::optional<std::string_view> find(std::string_view name) const;

    /// The value of `name` as a finite number, or nothing when it is absent or is not wholly a number.
    [[nodiscard]] std::optional<double> number(std::string_view name) const;

private:
    std::vector<std::pair<std::string, std::string>> pairs_;
};

}  // namespace amphora::web

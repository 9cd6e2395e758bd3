#include "io/source/line_pattern.hpp"

#include <algorithm>

#include "io/source/decimal.hpp"

namespace amphora::source {
namespace {

bool is_blank(char c) { return c == ' ' || c == '\t'; }

std::string_view without_blanks(std::string_view text) {
    while (!text.empty() && is_blank(text.front())) text.remove_prefix(1);
    return text;
}

}  // namespace

std::expected<LinePattern, std::string> LinePattern::from(std::string_view text) {
    LinePattern pattern;
    for (std::size_t i = 0; i < text.size(); ++i) {
        const char c = text[i];
        if (is_blank(c)) {
            if (pattern.parts_.empty() || pattern.parts_.back().kind != Part::Kind::blanks)
                pattern.parts_.push_back({Part::Kind::blanks, {}});
        } else if (c == '*') {
            if (pattern.parts_.empty() || pattern.parts_.back().kind != Part::Kind::anything)
                pattern.parts_.push_back({Part::Kind::anything, {}});
        } else if (c == '{') {
            const auto end = text.find('}', i);
            if (end == std::string_view::npos) return std::unexpected("a brace is opened and not closed");
            const std::string name(text.substr(i + 1, end - i - 1));
            if (name.empty()) return std::unexpected("a pair of braces has no name in it");
            if (std::ranges::find(pattern.fields_, name) != pattern.fields_.end())
                return std::unexpected("{" + name + "} stands in it twice");
            pattern.fields_.push_back(name);
            pattern.parts_.push_back({Part::Kind::number, name});
            i = end;
        } else {
            if (pattern.parts_.empty() || pattern.parts_.back().kind != Part::Kind::literal)
                pattern.parts_.push_back({Part::Kind::literal, {}});
            pattern.parts_.back().text += c;
        }
    }
    if (pattern.fields_.empty()) return std::unexpected("it has no field; write {name} where a number stands");
    return pattern;
}

bool LinePattern::match(std::string_view line, const Found& found) const {
    std::vector<double> values;
    if (!match_from(0, line, values)) return false;
    for (std::size_t i = 0; i < values.size(); ++i) found(i, values[i]);
    return true;
}

bool LinePattern::match_from(std::size_t part, std::string_view rest, std::vector<double>& values) const {
    for (; part < parts_.size(); ++part) {
        const Part& p = parts_[part];
        switch (p.kind) {
            case Part::Kind::literal:
                if (!rest.starts_with(p.text)) return false;
                rest.remove_prefix(p.text.size());
                break;
            case Part::Kind::blanks:
                rest = without_blanks(rest);
                break;
            case Part::Kind::number: {
                rest = without_blanks(rest);
                const auto read = source::read_decimal(rest.data(), rest.data() + rest.size());
                if (read.fault != source::NumberFault::none) return false;
                values.push_back(read.value);
                rest.remove_prefix(static_cast<std::size_t>(read.end - rest.data()));
                break;
            }
            case Part::Kind::anything: {
                const std::size_t known = values.size();
                for (std::size_t skip = 0; skip <= rest.size(); ++skip) {
                    if (match_from(part + 1, rest.substr(skip), values)) return true;
                    values.resize(known);
                }
                return false;
            }
        }
    }
    return true;
}

}  // namespace amphora::source

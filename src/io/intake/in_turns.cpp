#include "io/intake/in_turns.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <charconv>
#include <nlohmann/json.hpp>
#include <optional>
#include <string_view>
#include <vector>

#include "io/intake/cells.hpp"
#include "io/intake/json_line.hpp"
#include "io/source/line_splitter.hpp"

namespace amphora::intake {
namespace {

constexpr std::size_t most_names = 200;
constexpr std::size_t first_lines = 400;  // of one name; then one in so many, since dates tell more the further apart
constexpr std::size_t one_in = 997;
constexpr std::size_t most_bytes = std::size_t{8} << 20U;  // in all

bool is_blank(std::string_view line) { return line.find_first_not_of(" \t\r") == std::string_view::npos; }

class Turns {
public:
    Turns(std::unique_ptr<source::ByteInput> input, const Mapping& mapping)
        : mapping_(mapping), input_(std::move(input)), lines_(*input_) {}

    std::expected<std::string, std::string> take() {
        if (!mapping_.json_lines && !take_head())
            return std::unexpected(fmt::format("{}: there is no column \"{}\"", input_->name(), mapping_.series->name));
        std::string_view line;
        while (lines_.next(line)) keep(line);
        if (lines_.error()) return std::unexpected(lines_.error()->message);
        return in_turns();
    }

private:
    struct Named {
        std::string name;
        std::vector<std::string> lines;
        std::uint64_t seen = 0;
    };

    /// What stands above the numbers; false when there is no such column.
    bool take_head() {
        std::string_view line;
        for (unsigned i = 0; i < mapping_.skip_lines; ++i) take_head_line(line);
        while (take_head_line(line) && is_blank(line)) {
        }
        const std::string_view name = mapping_.series->name;
        if (line.starts_with("\xEF\xBB\xBF")) line.remove_prefix(3);
        line.remove_prefix(std::min(line.find_first_not_of("# "), line.size()));
        const auto cells = cells_of(line, mapping_.delimiter);
        const auto found = std::ranges::find(cells, name);
        column_ = static_cast<std::size_t>(found - cells.begin());
        if (found == cells.end()) {
            std::size_t number = 0;
            const auto read = std::from_chars(name.data(), name.data() + name.size(), number);
            if (read.ec != std::errc{} || number == 0 || number > cells.size()) return false;
            column_ = number - 1;
        }
        for (unsigned i = 0; i < mapping_.lines_below_header; ++i) take_head_line(line);
        return true;
    }

    bool take_head_line(std::string_view& line) {
        if (!lines_.next(line)) return false;
        text_.append(line).append("\n");
        return true;
    }

    [[nodiscard]] std::optional<std::string> name_in(std::string_view line) const {
        if (mapping_.json_lines) {
            const auto object = nlohmann::json::parse(bare_object(line), nullptr, false);
            return object.is_object() ? std::optional(text_at(object, mapping_.series->name)) : std::nullopt;
        }
        std::string_view cell;
        bool open_quote = false;
        for (std::size_t i = 0; i <= column_; ++i)
            if (!take_cell(line, mapping_.delimiter, cell, open_quote)) return std::nullopt;
        return std::string(cell);
    }

    void keep(std::string_view line) {
        if (bytes_ >= most_bytes) return;
        const auto name = name_in(line);
        if (!name || name->empty()) return;
        if (newest_ >= names_.size() || names_[newest_].name != *name) {
            const auto found = std::ranges::find(names_, *name, &Named::name);
            if (found == names_.end() && names_.size() == most_names) return;
            newest_ = static_cast<std::size_t>(found - names_.begin());
            if (found == names_.end()) names_.push_back({*name, {}, 0});
        }
        const std::uint64_t number = names_[newest_].seen++;
        if (number >= first_lines && number % one_in != 0) return;
        names_[newest_].lines.emplace_back(line);
        bytes_ += line.size() + 1;
    }

    std::string in_turns() {
        bool more = true;
        for (std::size_t i = 0; more; ++i) {
            more = false;
            for (const Named& named : names_) {
                if (i >= named.lines.size()) continue;
                text_.append(named.lines[i]).append("\n");
                more = true;
            }
        }
        return std::move(text_);
    }

    const Mapping& mapping_;
    std::unique_ptr<source::ByteInput> input_;
    source::LineSplitter lines_;
    std::size_t column_ = 0;
    std::string text_;
    std::vector<Named> names_;
    std::size_t newest_ = 0;  // the name of the line before: they come in long runs
    std::size_t bytes_ = 0;
};

}  // namespace

std::expected<std::string, std::string> in_turns(std::unique_ptr<source::ByteInput> input, const Mapping& mapping) {
    return Turns(std::move(input), mapping).take();
}

void complete_series(Mapping& mapping, const Mapping& whole) {
    if (!mapping.series || !whole.series) return;
    if (!mapping.current && !mapping.discharge && !mapping.power) {
        mapping.current = whole.current;
        mapping.discharge = whole.discharge;
        mapping.power = whole.power;
    }
    if (!mapping.voltage) mapping.voltage = whole.voltage;
    if (!mapping.temperature) mapping.temperature = whole.temperature;
}

}  // namespace amphora::intake

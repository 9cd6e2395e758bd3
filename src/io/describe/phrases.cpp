#include "io/describe/phrases.hpp"

#include <fmt/format.h>

#include <cmath>

#include "io/text/nearest.hpp"

namespace amphora::describe {
namespace {

template <class... Cases>
struct Overloaded : Cases... {
    using Cases::operator()...;
};

std::string date_text(const std::chrono::year_month_day& d) {
    return fmt::format("{:04}-{:02}-{:02}", static_cast<int>(d.year()), static_cast<unsigned>(d.month()),
                       static_cast<unsigned>(d.day()));
}

std::string with_unit(std::string number, std::string_view unit) {
    return unit.empty() ? number : fmt::format("{} {}", number, unit);
}

std::string span_of(const Key& key) {
    const auto& [low, high] = key.range;
    const auto span = low == high ? fmt::format("{}", low) : fmt::format("from {} to {}", low, high);
    return with_unit(span, key.unit);
}

}  // namespace

std::string printable(std::string_view text, std::size_t most) {
    std::string out;
    for (const char c : text) {
        const auto byte = static_cast<unsigned char>(c);
        const bool inside_character = (byte & 0xC0U) == 0x80U;
        if (out.size() >= most && !inside_character) return out + "...";
        if (byte < 0x20 || byte == 0x7F)
            out += fmt::format("\\x{:02x}", byte);
        else
            out += c;
    }
    return out;
}

std::string one_of(std::span<const std::string_view> words) {
    std::string out = "one of ";
    for (std::size_t i = 0; i < words.size(); ++i)
        out += fmt::format("{}\"{}\"", i == 0 ? "" : i + 1 == words.size() ? " or " : ", ", words[i]);
    return out;
}

std::string wanted(const Key& key) {
    switch (key.kind) {
        case Kind::text:
            return fmt::format("text in quotes, {:.0f} to {:.0f} characters", key.range.low, key.range.high);
        case Kind::word:
            return one_of(key.words);
        case Kind::number:
            return "a number " + span_of(key);
        case Kind::whole:
            return "a whole number " + span_of(key);
        case Kind::numbers:
            return fmt::format("a list of numbers, each {}", span_of(key));
        case Kind::texts:
            return fmt::format("a list of texts in quotes, each of {:.0f} to {:.0f} characters", key.range.low,
                               key.range.high);
        case Kind::date:
            return "a date without quotes, as 2024-05-31";
        case Kind::flag:
            return "true or false";
    }
    return {};
}

std::string found(const Node& node) {
    return std::visit(Overloaded{
                          [](bool yes) { return std::string(yes ? "true" : "false"); },
                          [](std::int64_t whole) { return fmt::format("{}", whole); },
                          [](double number) {
                              return fmt::format("{}{}", number,
                                                 std::isfinite(number) && number == std::trunc(number) ? ".0" : "");
                          },
                          [](const std::string& text) { return fmt::format("\"{}\"", printable(text)); },
                          [](const std::chrono::year_month_day& date) { return "the date " + date_text(date); },
                          [](const Moment&) { return std::string("a time"); },
                          [](const List& list) { return fmt::format("a list of {}", list.size()); },
                          [](const Members&) { return std::string("a table"); },
                      },
                      node.value);
}

std::string value_text(const Value& value, std::string_view unit) {
    return std::visit(Overloaded{
                          [](std::monostate) { return std::string("not given"); },
                          [](bool yes) { return std::string(yes ? "yes" : "no"); },
                          [&](std::int64_t whole) { return with_unit(fmt::format("{}", whole), unit); },
                          [&](double number) { return with_unit(fmt::format("{:.6g}", number), unit); },
                          [](const std::string& text) { return text; },
                          [](const std::vector<double>& numbers) { return fmt::format("{} values", numbers.size()); },
                          [](const std::vector<std::string>& texts) { return fmt::format("{} values", texts.size()); },
                          [](const std::chrono::year_month_day& date) { return date_text(date); },
                      },
                      value);
}

std::string did_you_mean(std::string_view word, std::span<const std::string_view> known) {
    const auto near = text::nearest(word, known);
    return near ? fmt::format("; did you mean \"{}\"?", *near) : "";
}

}  // namespace amphora::describe

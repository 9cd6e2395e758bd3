#include "io/document/flow.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <numeric>
#include <sstream>

namespace amphora::document {
namespace {

constexpr double sheet_margin = 18.0;
constexpr double foot_room = 16.0;
constexpr double body = 3.3;
constexpr double small = 2.8;
constexpr double leading = 1.38;

/// Cuts a word where it no longer fits, between characters of UTF-8.
void break_word(std::string word, double width, double height, bool bold, std::vector<std::string>& lines) {
    while (text_width(word, height, bold) > width && word.size() > 1) {
        std::size_t cut = word.size();
        while (cut > 1 && text_width(word.substr(0, cut), height, bold) > width) {
            --cut;
            while (cut > 1 && (static_cast<unsigned char>(word[cut]) & 0xC0U) == 0x80U) --cut;
        }
        lines.push_back(word.substr(0, cut));
        word.erase(0, cut);
    }
    lines.push_back(word);
}

}  // namespace

std::vector<std::string> wrapped(const std::string& text, double width, double height, bool bold) {
    std::vector<std::string> lines;
    std::istringstream words(text);
    std::string line;
    for (std::string word; words >> word;) {
        const std::string longer = line.empty() ? word : line + " " + word;
        if (text_width(longer, height, bold) <= width) {
            line = longer;
            continue;
        }
        if (!line.empty()) lines.push_back(line);
        if (text_width(word, height, bold) > width) {
            break_word(word, width, height, bold, lines);
            line = lines.back();
            lines.pop_back();
        } else {
            line = word;
        }
    }
    if (!line.empty()) lines.push_back(line);
    if (lines.empty()) lines.emplace_back();
    return lines;
}

Flow::Flow(Canvas& sheet, std::string footer) : sheet_(sheet), footer_(std::move(footer)), y_(sheet_margin) {}

double Flow::left() const { return sheet_margin; }
double Flow::width() const { return sheet_.page().width - 2.0 * sheet_margin; }

void Flow::foot() {
    const double y = sheet_.page().height - 9.0;
    sheet_.line(sheet_margin, y - 4.0, sheet_margin + width(), y - 4.0, 0.15, faint);
    sheet_.text(sheet_margin, y, footer_, 2.5, Align::left, faint);
    sheet_.text(sheet_margin + width(), y, fmt::format("{}", page_), 2.5, Align::right, faint);
}

void Flow::new_page(Size page) {
    foot();
    sheet_.next_page(page);
    ++page_;
    y_ = sheet_margin;
}

void Flow::need(double height) {
    if (y_ + height > sheet_.page().height - foot_room) new_page();
}

/// Short texts stay on one page.
void Flow::keep_together(std::size_t lines) {
    constexpr std::size_t few = 6;
    if (lines <= few) need(static_cast<double>(lines) * body * leading + 0.01);
}

double Flow::room(double height) {
    need(height);
    const double top = y_;
    y_ += height + 3.0;
    return top;
}

void Flow::title(const std::string& text) {
    need(14.0);
    y_ += 7.0;
    sheet_.text(sheet_margin, y_, text, 7.0, Align::left, ink, true);
    y_ += 6.0;
}

void Flow::heading(const std::string& text) {
    need(44.0);  // a heading is never the last line of a page, nor alone with the titles of a table
    if (y_ > sheet_margin) y_ += 5.0;
    y_ += 4.5;
    sheet_.text(sheet_margin, y_, text, 4.6, Align::left, ink, true);
    y_ += 2.0;
    sheet_.line(sheet_margin, y_, sheet_margin + width(), y_, 0.3, ink);
    y_ += 3.5;
}

void Flow::paragraph(const std::string& text, Colour colour) {
    const auto lines = wrapped(text, width(), body);
    keep_together(lines.size());
    for (const std::string& line : lines) {
        need(body * leading);
        y_ += body;
        sheet_.text(sheet_margin, y_, line, body, Align::left, colour);
        y_ += body * (leading - 1.0);
    }
    y_ += 1.6;
}

void Flow::item(const std::string& text, bool tick) {
    constexpr double indent = 6.0;
    bool first = true;
    const auto lines = wrapped(text, width() - indent, body);
    keep_together(lines.size());
    for (const std::string& line : lines) {
        need(body * leading);
        y_ += body;
        if (first && tick) sheet_.box(sheet_margin, y_ - 2.7, 2.9, 2.9, ink, 0.25);
        if (first && !tick) sheet_.text(sheet_margin + 1.0, y_, "–", body);
        sheet_.text(sheet_margin + indent, y_, line, body);
        y_ += body * (leading - 1.0);
        first = false;
    }
    y_ += 1.0;
}

void Flow::cells(const std::vector<Column>& columns, const std::vector<std::string>& texts, bool strong) {
    constexpr double gap = 2.0;
    const double shares =
        std::accumulate(columns.begin(), columns.end(), 0.0, [](double s, const Column& c) { return s + c.share; });
    std::vector<std::vector<std::string>> lines;
    std::size_t tallest = 1;
    for (std::size_t i = 0; i < columns.size(); ++i) {
        const double room = width() * columns[i].share / shares - gap;
        lines.push_back(wrapped(i < texts.size() ? texts[i] : "", room, small, strong));
        tallest = std::max(tallest, lines.back().size());
    }
    const double height = static_cast<double>(tallest) * small * leading + 1.6;
    need(height);
    double x = sheet_margin;
    for (std::size_t i = 0; i < columns.size(); ++i) {
        double y = y_ + small + 0.6;
        for (const std::string& line : lines[i]) {
            sheet_.text(x, y, line, small, Align::left, ink, strong);
            y += small * leading;
        }
        x += width() * columns[i].share / shares;
    }
    y_ += height;
    sheet_.line(sheet_margin, y_, sheet_margin + width(), y_, strong ? 0.3 : 0.1, strong ? ink : faint);
}

void Flow::table(const std::vector<Column>& columns, const std::vector<std::vector<std::string>>& rows) {
    std::vector<std::string> titles;
    for (const Column& c : columns) titles.push_back(c.title);
    const bool titled = std::ranges::any_of(titles, [](const std::string& t) { return !t.empty(); });
    need(16.0);
    if (titled) cells(columns, titles, true);
    for (const auto& row : rows) {
        if (y_ + 3.0 * small * leading > sheet_.page().height - foot_room) {
            new_page();
            if (titled) cells(columns, titles, true);
        }
        cells(columns, row, false);
    }
    y_ += 3.0;
}

void Flow::finish() { foot(); }

}  // namespace amphora::document

// Text that flows down A4 pages: headings, paragraphs, lists, tables; a new page when one is full.
#pragma once

#include <string>
#include <vector>

#include "io/document/canvas.hpp"

namespace amphora::document {

/// A column of a table: its title, its share of the width.
struct Column {
    std::string title;
    double share = 1.0;
};

class Flow {
public:
    /// Writes onto `sheet`, whose first page is empty. `footer` stands at the foot of every page, with its number.
    Flow(Canvas& sheet, std::string footer);

    void title(const std::string& text);
    void heading(const std::string& text);
    void paragraph(const std::string& text, Colour colour = ink);
    /// A line with an empty box before it, for ticking, or with a dash.
    void item(const std::string& text, bool tick = false);
    void table(const std::vector<Column>& columns, const std::vector<std::vector<std::string>>& rows);
    /// Room of that height on this page or the next, full width; returns its top.
    double room(double height);
    /// Goes on to an empty page, upright or turned.
    void new_page(Size page = a4);
    /// The foot of the last page.
    void finish();

    [[nodiscard]] double left() const;
    [[nodiscard]] double width() const;

private:
    void need(double height);
    void keep_together(std::size_t lines);
    void foot();
    void cells(const std::vector<Column>& columns, const std::vector<std::string>& texts, bool strong);

    Canvas& sheet_;
    std::string footer_;
    double y_;
    int page_ = 1;
};

/// Breaks a text into lines no wider than `width` at a height. A word that is too long is broken.
[[nodiscard]] std::vector<std::string> wrapped(const std::string& text, double width, double height, bool bold = false);

}  // namespace amphora::document

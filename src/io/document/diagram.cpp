#include "io/document/diagram.hpp"

#include <algorithm>

#include "io/document/symbols.hpp"

namespace amphora::document {
namespace {

constexpr double wire = 0.5;
constexpr double thick = 1.1;

void draw_positive(Canvas& sheet, const DiagramLayout& l) {
    if (!l.wires.empty()) {
        const double first_bar = l.wires.front().x0;
        double left = first_bar;
        for (const Wire& w : l.wires) left = std::min(left, w.x0);
        sheet.line(l.battery_x, l.battery_top, l.battery_x, l.connection_y, wire, positive);
        sheet.line(l.battery_x, l.connection_y, left, l.connection_y, wire, positive);
    }
    for (const Wire& w : l.wires) {
        sheet.line(w.x0, w.y, w.x1, w.y, wire, positive);
        if (w.fuse_at >= 0.0) draw_fuse(sheet, w.fuse_at, w.y);
        if (w.breaker_at >= 0.0) draw_breaker(sheet, w.breaker_at, w.y);
        if (w.contact_at >= 0.0) draw_contact(sheet, w.contact_at, w.y);
    }
    for (const Bar& b : l.bars) sheet.line(b.x, b.y0, b.x, b.y1, thick, positive);
}

void draw_negative(Canvas& sheet, const DiagramLayout& l) {
    double top = l.return_y;
    double bypass_top = l.bypass_y;
    bool any = false;
    for (const Consumer& c : l.consumers) {
        if (c.negative == design::Negative::chassis) {
            sheet.line(c.x + symbol_width, c.y, c.end + 2.0, c.y, wire, negative);
            draw_chassis(sheet, c.end + 2.0, c.y);
            continue;
        }
        const bool around = c.negative == design::Negative::battery_post;
        sheet.line(c.x + symbol_width, c.y, around ? l.bypass_x : l.negative_x, c.y, wire, negative, around);
        if (c.shunt_at >= 0.0) draw_shunt(sheet, c.shunt_at, c.y);
        (around ? bypass_top : top) = std::min(around ? bypass_top : top, c.y);
        any = any || !around;
    }
    if (any) sheet.line(l.negative_x, top - 3.0, l.negative_x, l.return_y, thick, negative);
    sheet.line(l.battery_x, l.return_y, l.negative_x, l.return_y, wire, negative);
    sheet.line(l.battery_x, l.battery_foot, l.battery_x, l.return_y, wire, negative);
    if (l.bypass_y > 0.0) {
        sheet.line(l.bypass_x, bypass_top, l.bypass_x, l.bypass_y, wire, negative, true);
        sheet.line(l.battery_x, l.bypass_y, l.bypass_x, l.bypass_y, wire, negative, true);
        sheet.line(l.battery_x, l.return_y, l.battery_x, l.bypass_y, wire, negative, true);
        sheet.text(l.battery_x + 3.0, l.bypass_y + 4.0, "dashed: goes around the shunt and is not counted", 2.4,
                   Align::left, alarm);
    }
    if (l.shunt_x > 0.0) draw_shunt(sheet, l.shunt_x, l.return_y);
}

}  // namespace

void draw(Canvas& sheet, const DiagramLayout& l) {
    draw_positive(sheet, l);
    draw_negative(sheet, l);
    draw_battery(sheet, l.battery_x, l.battery_top, l.battery_foot);
    for (const Consumer& c : l.consumers) draw_consumer(sheet, c.x, c.y, c.symbol);
    for (const Label& t : l.labels) sheet.text(t.x, t.y, t.text, t.height, Align::left, ink, t.strong);
    sheet.text(l.size.width - 8.0, l.size.height - 4.0,
               "Direct-current side only. A plan, not a certificate: local codes and licensed practice win.", 2.2,
               Align::right, faint);
}

std::expected<void, std::string> write_diagram(const design::Plan& plan, Variant variant,
                                               const std::filesystem::path& file) {
    const DiagramLayout layout = lay_out(plan, variant);
    auto sheet = Canvas::create(file, layout.size);
    if (!sheet) return std::unexpected(sheet.error());
    draw(*sheet, layout);
    return sheet->finish();
}

}  // namespace amphora::document

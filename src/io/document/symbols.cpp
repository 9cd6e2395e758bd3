#include "io/document/symbols.hpp"

namespace amphora::document {
namespace {

constexpr double thin = 0.35;
constexpr double bold = 0.7;

/// A square divided by a diagonal: a converter, with what goes in and what comes out.
void converter(Canvas& sheet, double x, double y, const char* in, const char* out) {
    const double half = symbol_height / 2.0;
    sheet.box(x, y - half, symbol_width, symbol_height);
    sheet.line(x, y + half, x + symbol_width, y - half, 0.25);
    sheet.text(x + 0.7, y - 0.5, in, 2.2);
    sheet.text(x + symbol_width - 0.7, y + half - 0.7, out, 2.2, Align::right);
}

}  // namespace

void draw_battery(Canvas& sheet, double x, double top, double foot) {
    const double step = (foot - top) / 3.0;
    for (int cell = 0; cell < 2; ++cell) {
        const double y = top + 2.0 * cell * step;
        sheet.line(x - 4.5, y, x + 4.5, y, thin);
        sheet.line(x - 2.2, y + step, x + 2.2, y + step, bold);
    }
    for (double y = top + step + 0.6; y < top + 2.0 * step - 0.3; y += 1.2) sheet.line(x, y, x, y + 0.6, 0.25);
    sheet.text(x - 6.2, top - 0.8, "+", 3.0, Align::centre);
    sheet.text(x - 6.2, foot + 2.2, "−", 3.0, Align::centre);
}

void draw_fuse(Canvas& sheet, double x, double y) {
    sheet.fill(x - 3.5, y - 1.2, 7.0, 2.4, paper);
    sheet.box(x - 3.5, y - 1.2, 7.0, 2.4);
    sheet.line(x - 3.5, y, x + 3.5, y, thin, positive);
}

void draw_breaker(Canvas& sheet, double x, double y) {
    sheet.fill(x - 3.0, y - 0.6, 6.0, 1.2, paper);
    sheet.line(x - 3.0, y, x + 2.6, y - 1.9, thin);
    sheet.line(x + 2.2, y - 0.8, x + 3.8, y + 0.8, thin);
    sheet.line(x + 2.2, y + 0.8, x + 3.8, y - 0.8, thin);
}

void draw_contact(Canvas& sheet, double x, double y) {
    sheet.fill(x - 3.0, y - 0.6, 6.0, 1.2, paper);
    sheet.line(x - 3.0, y, x + 3.0, y - 2.6, thin);
    sheet.dot(x - 3.0, y, 0.5);
    sheet.dot(x + 3.0, y, 0.5);
    sheet.line(x, y - 1.4, x, y + 2.4, 0.25, ink, true);
    sheet.box(x - 2.0, y + 2.4, 4.0, 2.4, ink, 0.25);
}

void draw_shunt(Canvas& sheet, double x, double y) {
    sheet.fill(x - 6.0, y - 1.6, 12.0, 3.2, paper);
    sheet.box(x - 6.0, y - 1.6, 12.0, 3.2);
    for (const double side : {-3.0, 3.0}) {
        sheet.line(x + side, y + 1.6, x + side, y + 4.0, 0.25);
        sheet.circle(x + side, y + 4.6, 0.6, ink, 0.25);
    }
}

void draw_chassis(Canvas& sheet, double x, double y) {
    sheet.line(x, y, x, y + 2.4, thin, negative);
    sheet.line(x - 2.4, y + 2.4, x + 2.4, y + 2.4, thin, negative);
    for (const double at : {-2.4, -0.4, 1.6}) sheet.line(x + at, y + 2.4, x + at - 1.2, y + 4.2, thin, negative);
}

void draw_consumer(Canvas& sheet, double x, double y, Symbol symbol) {
    const double half = symbol_height / 2.0;
    sheet.fill(x, y - half, symbol_width, symbol_height, paper);
    switch (symbol) {
        case Symbol::inverter:
            converter(sheet, x, y, "=", "~");
            return;
        case Symbol::shore:
            converter(sheet, x, y, "~", "=");
            return;
        case Symbol::alternator:
            sheet.box(x, y - half, symbol_width, symbol_height);
            sheet.circle(x + symbol_width / 2.0, y, 2.4);
            sheet.text(x + symbol_width / 2.0, y + 0.9, "G", 2.4, Align::centre);
            return;
        case Symbol::solar:
            converter(sheet, x, y, "=", "=");
            sheet.line(x + 5.8, y - 6.0, x + 4.2, y - 4.0, 0.25);
            sheet.line(x + 8.2, y - 6.0, x + 6.6, y - 4.0, 0.25);
            return;
        case Symbol::load:
            sheet.box(x, y - half + 1.0, symbol_width, symbol_height - 2.0);
            return;
    }
}

}  // namespace amphora::document

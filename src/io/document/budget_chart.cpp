#include "io/document/budget_chart.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

namespace amphora::document {
namespace {

constexpr std::array<const char*, 12> month_marks{"Jan", "Feb", "Mar", "Apr", "May", "Jun",
                                                  "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"};

/// A round step so that about five lines fit below the greatest value.
double round_step(double greatest) {
    const double raw = std::max(greatest, 1.0) / 5.0;
    const double tens = std::pow(10.0, std::floor(std::log10(raw)));
    for (const double f : {1.0, 2.0, 2.5, 5.0}) {
        if (f * tens >= raw) return f * tens;
    }
    return 10.0 * tens;
}

double sum_of(const std::vector<design::BudgetLine>& lines, std::size_t month) {
    double sum = 0.0;
    for (const auto& l : lines) sum += l.per_day.at(month).value();
    return sum;
}

}  // namespace

void draw_budget(Canvas& sheet, double x, double y, Size size, const design::Budget& b) {
    constexpr double left = 16.0;
    constexpr double foot = 14.0;
    constexpr double head = 6.0;
    double greatest = 1.0;
    for (std::size_t m = 0; m < 12; ++m) greatest = std::max({greatest, b.used.at(m).value(), b.given.at(m).value()});
    const double step = round_step(greatest);
    const double top = std::ceil(greatest / step) * step;
    const double base = y + size.height - foot;
    const double scale = (size.height - foot - head) / top;
    for (double v = 0.0; v <= top + step / 2.0; v += step) {
        sheet.line(x + left, base - v * scale, x + size.width, base - v * scale, 0.15, v > 0.0 ? pale : ink);
        sheet.text(x + left - 1.5, base - v * scale + 0.9, fmt::format("{:.0f}", v), 2.5, Align::right, faint);
    }
    sheet.text(x, y + 3.0, "Wh a day", 2.5, Align::left, faint);
    const double slot = (size.width - left) / 12.0;
    for (std::size_t m = 0; m < 12; ++m) {
        const double at = x + left + slot * static_cast<double>(m);
        const double bar = slot * 0.36;
        const double uses = sum_of(b.uses, m) * scale;
        const double losses = sum_of(b.losses, m) * scale;
        const double gives = b.given.at(m).value() * scale;
        sheet.fill(at + slot * 0.10, base - uses, bar, uses, negative);
        sheet.fill(at + slot * 0.10, base - uses - losses, bar, losses, faint);
        sheet.fill(at + slot * 0.52, base - gives, bar, gives, giving);
        sheet.text(at + slot / 2.0, base + 4.0, month_marks.at(m), 2.6, Align::centre, ink);
        const bool lean = b.given.at(m) < b.used.at(m);
        if (lean) sheet.text(at + slot / 2.0, base + 7.4, "short", 2.3, Align::centre, alarm, true);
    }
    const double key_y = y + size.height - 1.5;
    double key_x = x + left;
    for (const auto& [colour, words] : {std::pair{negative, "left bar: appliances"}, std::pair{faint, "on top: losses"},
                                        std::pair{giving, "right bar: chargers"}}) {
        sheet.fill(key_x, key_y - 2.0, 2.4, 2.4, colour);
        sheet.text(key_x + 3.4, key_y, words, 2.6);
        key_x += 10.0 + text_width(words, 2.6);
    }
}

std::expected<void, std::string> draw_budget(const design::Plan& plan, const design::Budget& budget,
                                             const std::filesystem::path& file) {
    auto sheet = Canvas::create(file, {240.0, 130.0});
    if (!sheet) return std::unexpected(sheet.error());
    sheet->text(10.0, 11.0, plan.name + ": what a mean day takes and gives", 4.2, Align::left, ink, true);
    draw_budget(*sheet, 10.0, 17.0, {220.0, 105.0}, budget);
    return sheet->finish();
}

}  // namespace amphora::document

// The budget as a chart: by month, what is taken on the left of each pair, what is given on the right.
#pragma once

#include <expected>
#include <filesystem>
#include <string>

#include "core/design/energy.hpp"
#include "io/document/canvas.hpp"

namespace amphora::document {

/// Draws the chart into a box of that width and height with its top left corner at x, y.
void draw_budget(Canvas& sheet, double x, double y, Size size, const design::Budget& budget);

/// Writes it as SVG or PDF of 240 by 130 mm. The error says why it cannot be written.
[[nodiscard]] std::expected<void, std::string> draw_budget(const design::Plan& plan, const design::Budget& budget,
                                                           const std::filesystem::path& file);

}  // namespace amphora::document

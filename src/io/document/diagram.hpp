// The wiring diagram of a system, as SVG or PDF.
#pragma once

#include <expected>
#include <filesystem>
#include <string>

#include "io/document/diagram_layout.hpp"

namespace amphora::document {

/// Draws a layout on a sheet with its top left corner at the origin.
void draw(Canvas& sheet, const DiagramLayout& layout);

/// Writes the diagram of a plan; the page is as large as it needs. The error says why it cannot be written.
[[nodiscard]] std::expected<void, std::string> write_diagram(const design::Plan& plan, Variant variant,
                                                             const std::filesystem::path& file);

}  // namespace amphora::document

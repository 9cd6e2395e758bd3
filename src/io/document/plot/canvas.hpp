// A page to draw on, by cairo: SVG, PNG or PDF by the ending of the file's name.
#pragma once

#include <cstdint>
#include <expected>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>

#include "io/sink/output_file.hpp"

namespace amphora::plot {

struct Colour {
    std::uint32_t rgb = 0;  // 0xRRGGBB
    double opacity = 1.0;
};

/// Lengths are in points of the page: 1/96 inch in SVG, half a dot in PNG.
struct Point {
    double x = 0.0;
    double y = 0.0;
};

struct Box {
    double left = 0.0;
    double top = 0.0;
    double width = 0.0;
    double height = 0.0;

    [[nodiscard]] double right() const { return left + width; }
    [[nodiscard]] double bottom() const { return top + height; }
};

enum class Align : std::uint8_t { left, middle, right };

struct Lettering {
    double size = 12.0;
    Colour colour;
    bool bold = false;
    Align align = Align::left;
};

/// What a page can be written as; nothing for an unknown ending.
enum class PageKind : std::uint8_t { svg, png, pdf };
std::optional<PageKind> page_kind(std::string_view path);

class Canvas {
public:
    /// A page of that size, white paper not included.
    Canvas(PageKind kind, double width, double height, sink::OutputFile file);
    ~Canvas();
    Canvas(const Canvas&) = delete;
    Canvas& operator=(const Canvas&) = delete;
    Canvas(Canvas&&) = delete;
    Canvas& operator=(Canvas&&) = delete;

    void fill(const Box& box, Colour colour);
    void fill(std::span<const Point> outline, Colour colour);
    /// A line through the points; `dash` is the length of dashes and the gaps between them, 0 for none.
    void line(std::span<const Point> points, Colour colour, double width, double dash = 0.0);
    void line(Point from, Point to, Colour colour, double width, double dash = 0.0);
    /// Text on a baseline; returns its width.
    double text(Point at, std::string_view words, const Lettering& lettering);
    double text_width(std::string_view words, const Lettering& lettering);
    /// Until the returned guard ends, nothing is drawn outside the box.
    class Clip;
    Clip clip(const Box& box);

    /// Finishes the page and puts the file in its place.
    std::expected<void, sink::SinkError> commit();

private:
    struct Parts;
    std::unique_ptr<Parts> parts_;
};

class Canvas::Clip {
public:
    explicit Clip(Canvas& canvas) : canvas_(&canvas) {}
    ~Clip();
    Clip(const Clip&) = delete;
    Clip& operator=(const Clip&) = delete;
    Clip(Clip&&) = delete;
    Clip& operator=(Clip&&) = delete;

private:
    Canvas* canvas_;
};

}  // namespace amphora::plot

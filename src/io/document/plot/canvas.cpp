#include "io/document/plot/canvas.hpp"

#include <cairo-pdf.h>
#include <cairo-svg.h>
#include <cairo.h>
#include <fmt/core.h>

#include <array>
#include <cmath>
#include <utility>

namespace amphora::plot {
namespace {

constexpr double dots_per_point = 2.0;  // of a PNG

cairo_status_t write_to(void* file, const unsigned char* bytes, unsigned length) {
    static_cast<sink::OutputFile*>(file)->write({reinterpret_cast<const char*>(bytes), length});
    return CAIRO_STATUS_SUCCESS;
}

cairo_surface_t* surface_for(PageKind kind, double width, double height, sink::OutputFile& file) {
    switch (kind) {
        case PageKind::svg:
            return cairo_svg_surface_create_for_stream(write_to, &file, width, height);
        case PageKind::pdf:
            return cairo_pdf_surface_create_for_stream(write_to, &file, width, height);
        case PageKind::png:
            break;
    }
    return cairo_image_surface_create(CAIRO_FORMAT_RGB24, static_cast<int>(width * dots_per_point),
                                      static_cast<int>(height * dots_per_point));
}

// To the quarter of a point: finer can hardly be seen, and would double the size of an SVG.
double tidy(double coordinate) { return std::round(coordinate * 4.0) / 4.0; }

// A path through the points; those on a level line between their neighbours are left out.
void trace(cairo_t* page, std::span<const Point> points) {
    cairo_new_path(page);
    for (std::size_t i = 0; i < points.size(); ++i) {
        const double y = tidy(points[i].y);
        const bool inner = i > 0 && i + 1 < points.size();
        if (inner && tidy(points[i - 1].y) == y && tidy(points[i + 1].y) == y) continue;
        cairo_line_to(page, tidy(points[i].x), y);
    }
}

void use(cairo_t* page, Colour colour) {
    const auto part = [&colour](unsigned shift) { return ((colour.rgb >> shift) & 0xFFU) / 255.0; };
    cairo_set_source_rgba(page, part(16), part(8), part(0), colour.opacity);
}

}  // namespace

struct Canvas::Parts {
    Parts(PageKind kind_of, double width, double height, sink::OutputFile to)
        : kind(kind_of),
          file(std::move(to)),
          surface(surface_for(kind, width, height, file), &cairo_surface_destroy),
          page(cairo_create(surface.get()), &cairo_destroy) {}

    PageKind kind;
    sink::OutputFile file;
    std::unique_ptr<cairo_surface_t, decltype(&cairo_surface_destroy)> surface;
    std::unique_ptr<cairo_t, decltype(&cairo_destroy)> page;
};

std::optional<PageKind> page_kind(std::string_view path) {
    if (path.ends_with(".svg")) return PageKind::svg;
    if (path.ends_with(".png")) return PageKind::png;
    if (path.ends_with(".pdf")) return PageKind::pdf;
    return std::nullopt;
}

Canvas::Canvas(PageKind kind, double width, double height, sink::OutputFile file)
    : parts_(std::make_unique<Parts>(kind, width, height, std::move(file))) {
    auto* page = parts_->page.get();
    if (kind == PageKind::svg) cairo_svg_surface_set_document_unit(parts_->surface.get(), CAIRO_SVG_UNIT_PX);
    if (kind == PageKind::png) cairo_scale(page, dots_per_point, dots_per_point);
    cairo_set_line_join(page, CAIRO_LINE_JOIN_ROUND);
    cairo_set_line_cap(page, CAIRO_LINE_CAP_ROUND);
}

Canvas::~Canvas() = default;

void Canvas::fill(const Box& box, Colour colour) {
    auto* page = parts_->page.get();
    use(page, colour);
    cairo_rectangle(page, tidy(box.left), tidy(box.top), tidy(box.width), tidy(box.height));
    cairo_fill(page);
}

void Canvas::fill(std::span<const Point> outline, Colour colour) {
    auto* page = parts_->page.get();
    trace(page, outline);
    cairo_close_path(page);
    use(page, colour);
    cairo_fill(page);
}

void Canvas::line(std::span<const Point> points, Colour colour, double width, double dash) {
    auto* page = parts_->page.get();
    trace(page, points);
    use(page, colour);
    cairo_set_line_width(page, width);
    cairo_set_dash(page, &dash, dash > 0.0 ? 1 : 0, 0.0);
    cairo_stroke(page);
}

void Canvas::line(Point from, Point to, Colour colour, double width, double dash) {
    const std::array ends{from, to};
    line(ends, colour, width, dash);
}

double Canvas::text_width(std::string_view words, const Lettering& lettering) {
    auto* page = parts_->page.get();
    cairo_select_font_face(page, "DejaVu Sans", CAIRO_FONT_SLANT_NORMAL,
                           lettering.bold ? CAIRO_FONT_WEIGHT_BOLD : CAIRO_FONT_WEIGHT_NORMAL);
    cairo_set_font_size(page, lettering.size);
    cairo_text_extents_t extents;
    cairo_text_extents(page, std::string(words).c_str(), &extents);
    return extents.x_advance;
}

double Canvas::text(Point at, std::string_view words, const Lettering& lettering) {
    auto* page = parts_->page.get();
    const double width = text_width(words, lettering);
    const double back = lettering.align == Align::left ? 0.0 : lettering.align == Align::middle ? width / 2 : width;
    use(page, lettering.colour);
    cairo_move_to(page, tidy(at.x - back), tidy(at.y));
    cairo_show_text(page, std::string(words).c_str());
    return width;
}

Canvas::Clip Canvas::clip(const Box& box) {
    auto* page = parts_->page.get();
    cairo_save(page);
    cairo_rectangle(page, box.left, box.top, box.width, box.height);
    cairo_clip(page);
    return Clip(*this);
}

Canvas::Clip::~Clip() { cairo_restore(canvas_->parts_->page.get()); }

std::expected<void, sink::SinkError> Canvas::commit() {
    auto& parts = *parts_;
    if (parts.kind == PageKind::png) cairo_surface_write_to_png_stream(parts.surface.get(), write_to, &parts.file);
    cairo_surface_finish(parts.surface.get());
    if (const auto status = cairo_surface_status(parts.surface.get()); status != CAIRO_STATUS_SUCCESS)
        return std::unexpected(
            sink::SinkError{sink::SinkFault::cannot_write,
                            fmt::format("the chart cannot be drawn: {}", cairo_status_to_string(status))});
    return parts.file.commit();
}

}  // namespace amphora::plot

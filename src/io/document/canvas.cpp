#include "io/document/canvas.hpp"

#include <cairo-pdf.h>
#include <cairo-svg.h>
#include <cairo.h>
#include <fmt/format.h>

#include <array>
#include <numbers>
#include <utility>

namespace amphora::document {
namespace {

constexpr double points_per_millimetre = 72.0 / 25.4;
constexpr const char* typeface = "DejaVu Sans";

struct SurfaceEnd {
    void operator()(cairo_surface_t* s) const { cairo_surface_destroy(s); }
};
struct ContextEnd {
    void operator()(cairo_t* c) const { cairo_destroy(c); }
};
using Surface = std::unique_ptr<cairo_surface_t, SurfaceEnd>;
using Context = std::unique_ptr<cairo_t, ContextEnd>;

void use_font(cairo_t* c, double height, bool bold) {
    cairo_select_font_face(c, typeface, CAIRO_FONT_SLANT_NORMAL,
                           bold ? CAIRO_FONT_WEIGHT_BOLD : CAIRO_FONT_WEIGHT_NORMAL);
    cairo_set_font_size(c, height);
}

double advance(cairo_t* c, std::string_view text) {
    cairo_text_extents_t extents;
    cairo_text_extents(c, std::string(text).c_str(), &extents);
    return extents.x_advance;
}

void use(cairo_t* c, Colour colour) { cairo_set_source_rgb(c, colour.red, colour.green, colour.blue); }

}  // namespace

struct Canvas::Parts {
    std::filesystem::path file;
    Size page;
    Surface surface;
    Context context;
};

double text_width(std::string_view text, double height, bool bold) {
    // Metrics of a hundredfold size, so that hinting does not matter.
    constexpr double magnified = 100.0;
    static thread_local const Surface nowhere(cairo_image_surface_create(CAIRO_FORMAT_A8, 1, 1));
    static thread_local const Context context(cairo_create(nowhere.get()));
    use_font(context.get(), height * magnified, bold);
    return advance(context.get(), text) / magnified;
}

Canvas::Canvas(std::unique_ptr<Parts> parts) : parts_(std::move(parts)) {}
Canvas::~Canvas() = default;
Canvas::Canvas(Canvas&&) noexcept = default;
Canvas& Canvas::operator=(Canvas&&) noexcept = default;

std::expected<Canvas, std::string> Canvas::create(const std::filesystem::path& file, Size page) {
    const auto ending = file.extension().string();
    if (ending != ".svg" && ending != ".pdf") {
        return std::unexpected(fmt::format("{}: expected a file name that ends in .svg or .pdf", file.string()));
    }
    const double width = page.width * points_per_millimetre;
    const double height = page.height * points_per_millimetre;
    auto parts = std::make_unique<Parts>();
    parts->file = file;
    parts->page = page;
    parts->surface.reset(ending == ".svg" ? cairo_svg_surface_create(file.c_str(), width, height)
                                          : cairo_pdf_surface_create(file.c_str(), width, height));
    const auto status = cairo_surface_status(parts->surface.get());
    if (status != CAIRO_STATUS_SUCCESS)
        return std::unexpected(fmt::format("{}: cannot be written: {}", file.string(), cairo_status_to_string(status)));
    parts->context.reset(cairo_create(parts->surface.get()));
    cairo_scale(parts->context.get(), points_per_millimetre, points_per_millimetre);
    Canvas canvas(std::move(parts));
    canvas.fill(0, 0, page.width, page.height, paper);
    return canvas;
}

Size Canvas::page() const { return parts_->page; }

void Canvas::next_page(Size page) {
    cairo_show_page(parts_->context.get());
    parts_->page = page;
    cairo_pdf_surface_set_size(parts_->surface.get(), page.width * points_per_millimetre,
                               page.height * points_per_millimetre);
    fill(0, 0, parts_->page.width, parts_->page.height, paper);
}

std::expected<void, std::string> Canvas::finish() {
    parts_->context.reset();
    cairo_surface_finish(parts_->surface.get());
    const auto status = cairo_surface_status(parts_->surface.get());
    if (status != CAIRO_STATUS_SUCCESS)
        return std::unexpected(
            fmt::format("{}: cannot be written: {}", parts_->file.string(), cairo_status_to_string(status)));
    return {};
}

void Canvas::line(double x0, double y0, double x1, double y1, double width, Colour colour, bool dashed) {
    cairo_t* c = parts_->context.get();
    constexpr std::array<double, 2> pattern{1.6, 1.1};
    use(c, colour);
    cairo_set_line_width(c, width);
    cairo_set_dash(c, pattern.data(), dashed ? 2 : 0, 0.0);
    cairo_move_to(c, x0, y0);
    cairo_line_to(c, x1, y1);
    cairo_stroke(c);
}

void Canvas::box(double x, double y, double width, double height, Colour stroke, double line_width) {
    cairo_t* c = parts_->context.get();
    use(c, stroke);
    cairo_set_line_width(c, line_width);
    cairo_set_dash(c, nullptr, 0, 0.0);
    cairo_rectangle(c, x, y, width, height);
    cairo_stroke(c);
}

void Canvas::fill(double x, double y, double width, double height, Colour colour) {
    cairo_t* c = parts_->context.get();
    use(c, colour);
    cairo_rectangle(c, x, y, width, height);
    cairo_fill(c);
}

void Canvas::circle(double x, double y, double radius, Colour colour, double line_width) {
    cairo_t* c = parts_->context.get();
    use(c, colour);
    cairo_set_line_width(c, line_width);
    cairo_set_dash(c, nullptr, 0, 0.0);
    cairo_arc(c, x, y, radius, 0.0, 2.0 * std::numbers::pi);
    cairo_stroke(c);
}

void Canvas::dot(double x, double y, double radius, Colour colour) {
    cairo_t* c = parts_->context.get();
    use(c, colour);
    cairo_arc(c, x, y, radius, 0.0, 2.0 * std::numbers::pi);
    cairo_fill(c);
}

void Canvas::text(double x, double y, std::string_view text, double height, Align align, Colour colour, bool bold) {
    cairo_t* c = parts_->context.get();
    const double width = align == Align::left ? 0.0 : text_width(text, height, bold);
    use_font(c, height, bold);
    use(c, colour);
    cairo_move_to(c, align == Align::left ? x : align == Align::centre ? x - width / 2.0 : x - width, y);
    cairo_show_text(c, std::string(text).c_str());
}

void Canvas::place(double x, double y, double scale) {
    cairo_save(parts_->context.get());
    cairo_translate(parts_->context.get(), x, y);
    cairo_scale(parts_->context.get(), scale, scale);
}

void Canvas::restore() { cairo_restore(parts_->context.get()); }

}  // namespace amphora::document

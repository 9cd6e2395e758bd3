// A sheet of paper to draw on, as SVG or PDF, in millimetres. The only file that knows the drawing library is
// canvas.cpp.
#pragma once

#include <expected>
#include <filesystem>
#include <memory>
#include <string>
#include <string_view>

namespace amphora::document {

struct Size {
    double width = 0.0;
    double height = 0.0;
};

struct Colour {
    double red = 0.0;
    double green = 0.0;
    double blue = 0.0;
};
constexpr Colour ink{0.10, 0.11, 0.13};
constexpr Colour faint{0.45, 0.47, 0.50};
constexpr Colour pale{0.90, 0.91, 0.92};
constexpr Colour paper{1.0, 1.0, 1.0};
constexpr Colour alarm{0.72, 0.11, 0.08};
constexpr Colour positive{0.62, 0.13, 0.10};
constexpr Colour negative{0.10, 0.16, 0.36};
constexpr Colour giving{0.20, 0.48, 0.32};

constexpr Size a4{210.0, 297.0};
constexpr Size a4_turned{297.0, 210.0};

enum class Align { left, centre, right };

/// Width of a line of text at a height, in millimetres, without a sheet.
[[nodiscard]] double text_width(std::string_view text, double height, bool bold = false);

/// A document of one page (SVG) or several (PDF), written when it is finished.
class Canvas {
public:
    /// Begins a document; the ending .svg or .pdf says which. The error says why it cannot.
    static std::expected<Canvas, std::string> create(const std::filesystem::path& file, Size page);
    ~Canvas();
    Canvas(Canvas&&) noexcept;
    Canvas& operator=(Canvas&&) noexcept;

    [[nodiscard]] Size page() const;
    /// Begins the next page, of that size (PDF only).
    void next_page(Size page);
    /// Writes what is left and closes the file. The error says why it could not be written.
    std::expected<void, std::string> finish();

    void line(double x0, double y0, double x1, double y1, double width = 0.35, Colour colour = ink,
              bool dashed = false);
    void box(double x, double y, double width, double height, Colour stroke = ink, double line_width = 0.35);
    void fill(double x, double y, double width, double height, Colour colour);
    void circle(double x, double y, double radius, Colour colour = ink, double line_width = 0.35);
    void dot(double x, double y, double radius, Colour colour = ink);
    /// The baseline stands at y.
    void text(double x, double y, std::string_view text, double height, Align align = Align::left, Colour colour = ink,
              bool bold = false);

    /// What is drawn until `restore` is moved and scaled.
    void place(double x, double y, double scale);
    void restore();

private:
    struct Parts;
    explicit Canvas(std::unique_ptr<Parts> parts);
    std::unique_ptr<Parts> parts_;
};

}  // namespace amphora::document

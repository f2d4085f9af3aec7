#pragma once

#include <array>
#include <cairo.h>
#include <cstddef>
#include <cstdint>
#include <memory>
#include <vector>

namespace discal::drawn {

/// A colour as screens take it (sRGB), each part 0 to 1.
struct Colour {
    double red{0};
    double green{0};
    double blue{0};
};

[[nodiscard]] inline Colour mixed(const Colour& a, const Colour& b, double share) {
    return {a.red + (b.red - a.red) * share, a.green + (b.green - a.green) * share, a.blue + (b.blue - a.blue) * share};
}

/// A picture in linear light: `height` rows of `width` pixels, each red, green, blue; 1 is white paper's brightest.
struct Light {
    int width{0};
    int height{0};
    std::vector<float> rgb;

    [[nodiscard]] float* row(int y) { return rgb.data() + static_cast<std::size_t>(y) * stride(); }
    [[nodiscard]] const float* row(int y) const { return rgb.data() + static_cast<std::size_t>(y) * stride(); }
    [[nodiscard]] std::size_t stride() const { return static_cast<std::size_t>(width) * 3; }
};

/// Linear light of an 8-bit value, by the sRGB curve (IEC 61966-2-1).
[[nodiscard]] const std::array<float, 256>& linearOf();
/// 8-bit values of linear light 0 to 1 in steps of 1 / (size - 1).
[[nodiscard]] const std::array<std::uint8_t, 4097>& encodedOf();

struct SurfaceEnd {
    void operator()(cairo_surface_t* surface) const { cairo_surface_destroy(surface); }
};
struct ContextEnd {
    void operator()(cairo_t* context) const { cairo_destroy(context); }
};
using Surface = std::unique_ptr<cairo_surface_t, SurfaceEnd>;
using Context = std::unique_ptr<cairo_t, ContextEnd>;

inline void setColour(cairo_t* cr, const Colour& c, double alpha = 1) {
    cairo_set_source_rgba(cr, c.red, c.green, c.blue, alpha);
}

/// Puts what was drawn on a surface of format RGB24 into a picture, in the memory that it has.
void lightOf(cairo_surface_t* surface, Light& light);
/// Lays what was drawn on a surface of format ARGB32, as large as the picture, over it.
void layOver(Light& picture, cairo_surface_t* surface);

} // namespace discal::drawn

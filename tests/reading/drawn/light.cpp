#include "reading/drawn/light.h"

#include <algorithm>
#include <cmath>

namespace discal::drawn {

const std::array<float, 256>& linearOf() {
    static const auto table = [] {
        std::array<float, 256> t{};
        for (std::size_t i = 0; i < t.size(); ++i) {
            const double v = static_cast<double>(i) / 255;
            t[i] = static_cast<float>(v <= 0.04045 ? v / 12.92 : std::pow((v + 0.055) / 1.055, 2.4));
        }
        return t;
    }();
    return table;
}

const std::array<std::uint8_t, 4097>& encodedOf() {
    static const auto table = [] {
        std::array<std::uint8_t, 4097> t{};
        for (std::size_t i = 0; i < t.size(); ++i) {
            const double v = static_cast<double>(i) / 4096;
            const double s = v <= 0.0031308 ? v * 12.92 : 1.055 * std::pow(v, 1 / 2.4) - 0.055;
            t[i] = static_cast<std::uint8_t>(std::lround(s * 255));
        }
        return t;
    }();
    return table;
}

void lightOf(cairo_surface_t* surface, Light& light) {
    cairo_surface_flush(surface);
    light.width = cairo_image_surface_get_width(surface);
    light.height = cairo_image_surface_get_height(surface);
    light.rgb.resize(light.stride() * static_cast<std::size_t>(light.height));
    const unsigned char* data = cairo_image_surface_get_data(surface);
    const int stride = cairo_image_surface_get_stride(surface);
    const auto& linear = linearOf();
    for (int y = 0; y < light.height; ++y) {
        const auto* from = reinterpret_cast<const std::uint32_t*>(data + static_cast<std::ptrdiff_t>(y) * stride);
        float* to = light.row(y);
        for (int x = 0; x < light.width; ++x, to += 3) {
            to[0] = linear[from[x] >> 16 & 255];
            to[1] = linear[from[x] >> 8 & 255];
            to[2] = linear[from[x] & 255];
        }
    }
}

void layOver(Light& picture, cairo_surface_t* surface) {
    cairo_surface_flush(surface);
    const unsigned char* data = cairo_image_surface_get_data(surface);
    const int stride = cairo_image_surface_get_stride(surface);
    const auto& linear = linearOf();
    for (int y = 0; y < picture.height; ++y) {
        const auto* from = reinterpret_cast<const std::uint32_t*>(data + static_cast<std::ptrdiff_t>(y) * stride);
        float* to = picture.row(y);
        for (int x = 0; x < picture.width; ++x, to += 3) {
            const std::uint32_t alpha = from[x] >> 24;
            if (alpha == 0)
                continue;
            const float cover = static_cast<float>(alpha) / 255;
            for (int c = 0; c < 3; ++c) {
                const std::uint32_t part = from[x] >> (16 - 8 * c) & 255;
                to[c] += (linear[std::min<std::uint32_t>(255, part * 255 / alpha)] - to[c]) * cover;
            }
        }
    }
}

} // namespace discal::drawn

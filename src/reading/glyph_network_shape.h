#pragma once

#include <array>
#include <cstddef>

namespace discal::reading::network {

/// One layer: a convolution over `kernelHeight` x `kernelWidth` pixels, to each side padded with 0 so that the width stays,
/// and the height too unless the kernel is as high as the picture; then, if not last, what is below 0 becomes 0, and the
/// greatest of `poolHeight` x `poolWidth` pixels is kept.
struct Layer {
    int in;
    int out;
    int kernelHeight;
    int kernelWidth;
    int poolHeight;
    int poolWidth;
};

/// What a strip (strip.h) goes through. The last layer has a row of scores for each kColumn pixels of width: one for each
/// glyph of kGlyphs, and one for "between glyphs". Do not change: part of the shape of assets/glyphs/glyphs.network.
inline constexpr std::array<Layer, 6> kLayers{{
    {1, 16, 3, 3, 2, 2},
    {16, 24, 3, 3, 2, 1},
    {24, 48, 3, 3, 2, 1},
    {48, 96, 4, 5, 1, 1},
    {96, 64, 1, 5, 1, 1},
    {64, 37, 1, 1, 1, 1},
}};

inline constexpr int kColumn = 2;
inline constexpr char kGlyphs[] = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ";
inline constexpr int kBetween = 36;

/// Numbers of a layer: weights, then one bias for each output.
[[nodiscard]] constexpr std::size_t weightsOf(const Layer& layer) {
    return static_cast<std::size_t>(layer.in) * static_cast<std::size_t>(layer.kernelHeight) *
           static_cast<std::size_t>(layer.kernelWidth) * static_cast<std::size_t>(layer.out);
}

[[nodiscard]] constexpr std::size_t numbersOf(const std::array<Layer, 6>& layers) {
    std::size_t sum = 0;
    for (const auto& layer : layers)
        sum += weightsOf(layer) + static_cast<std::size_t>(layer.out);
    return sum;
}

} // namespace discal::reading::network

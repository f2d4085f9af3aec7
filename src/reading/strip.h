#pragma once

#include <cstddef>
#include <utility>
#include <vector>

namespace discal::reading {

/// The printed lines of a tag's code, side by side as one line, ready to be read: kStripHeight rows, top first, of `width`
/// pixels. 0 is paper, 1 is ink. Capitals reach from about kCapTop to kBaseline.
struct Strip {
    /// Where one of the lines came from: strip column x shows disc column `first` + (x - `left`) * `scale`.
    struct Line {
        int left;       ///< columns of the strip, both included
        int right;
        float first;    ///< column of the upright disc
        float scale;    ///< its pixels a pixel of the strip
        float top;      ///< rows of the upright disc
        float baseline;
        std::vector<std::pair<float, float>> torn; ///< first and last column of the disc of what is one with another line's ink
    };

    int width{0};
    std::vector<float> ink; ///< width x kStripHeight, rows without padding
    std::vector<Line> lines{};
};

inline constexpr int kStripHeight = 32;
inline constexpr float kCapTop = 6;
inline constexpr float kBaseline = 26;
/// Blank pixels before the first glyph, between lines, and behind the last.
inline constexpr int kStripMargin = 8;

} // namespace discal::reading

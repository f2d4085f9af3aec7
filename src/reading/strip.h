#pragma once

#include <cstddef>
#include <vector>

namespace discal::reading {

/// The printed lines of a tag's code, side by side as one line, ready to be read: kStripHeight rows, top first, of `width`
/// pixels. 0 is paper, 1 is ink. Capitals reach from about kCapTop to kBaseline.
struct Strip {
    int width{0};
    std::vector<float> ink; ///< width x kStripHeight, rows without padding
};

inline constexpr int kStripHeight = 32;
inline constexpr float kCapTop = 6;
inline constexpr float kBaseline = 26;
/// Blank pixels before the first glyph, between lines, and behind the last.
inline constexpr int kStripMargin = 8;

} // namespace discal::reading

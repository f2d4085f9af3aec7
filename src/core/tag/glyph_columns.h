#pragma once

#include <array>
#include <string_view>
#include <vector>

namespace discal::tag {

/// The glyphs that a code can hold, in the order of GlyphColumn.
inline constexpr std::string_view kCodeGlyphs = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ";
/// Behind them: nothing but what is between two glyphs.
inline constexpr std::size_t kBetweenGlyphs = 36;

/// How probable each glyph is in a narrow column of a printed line; natural logarithms, their exponentials adding up to 1.
using GlyphColumn = std::array<float, 37>;

/// A printed line from left to right. One glyph covers one or several columns; the same glyph twice has at least one column
/// between, and so have O and 0, I and 1, which many typefaces draw alike.
using GlyphColumns = std::vector<GlyphColumn>;

} // namespace discal::tag

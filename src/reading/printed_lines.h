#pragma once

#include "reading/flat_disc.h"
#include "reading/plane.h"
#include "reading/strip.h"

#include <cstddef>
#include <cstdint>
#include <vector>

namespace discal::reading {

/// Angles, in radians, by which the disc may have to be turned (clockwise on the screen) for its lines to run level, best first,
/// each within half a turn: whether it then stands on its head isn't said. At most `most`.
///
/// From how uneven the ink is when it is added up line by line: uneven where lines and the space between them fall together
/// (Postl 1986, "Detection of linear oblique structures and skew scan in digitized documents", ICPR).
[[nodiscard]] std::vector<float> levelAngles(const Plane& ink, std::size_t most);

/// Where a printed line lies in an upright disc; pixels.
struct PrintedLine {
    float top{0};      ///< of capitals
    float baseline{0};
    int first{0};      ///< columns with ink, both included
    int last{0};
    float upper{0};    ///< how far up and down rows are this line's
    float lower{0};

    [[nodiscard]] float height() const { return baseline - top; }
};

/// A piece of a line's ink as high as a glyph: one, or several that touch. Rows and columns, both included.
struct GlyphBox {
    std::size_t line;
    int left;
    int right;
    int top;
    int bottom;
};

/// What is printed on an upright disc.
struct Print {
    std::vector<PrintedLine> lines; ///< from top to bottom, small print too
    std::vector<GlyphBox> glyphs;
    std::vector<GlyphBox> torn; ///< parts, in a line, of what is one with the next line's ink: a tail of Q or J that touches a glyph
    /// Of each pixel which line's ink it is, from 1; 0: no ink, or nobody's. A tail that hangs down into the next line is still
    /// its own line's.
    std::vector<std::uint8_t> owners;
};

/// All lines with print. Two that nearly touch are parted where there is less than `valley`
/// of the ink of either.
[[nodiscard]] Print findLines(const Plane& upright, float valley);

/// By how much these lines go down from left to right, as a slope: the disc wasn't turned by the right angle. 0 where too few
/// glyphs tell.
[[nodiscard]] float slantOf(const Print& print, const std::vector<std::size_t>& lines);

/// These of its lines, by index, side by side.
[[nodiscard]] Strip makeStrip(const Plane& upright, const Print& print, const std::vector<std::size_t>& lines);

/// For each of so many columns of a strip, how much of a glyph there may be lost, 0 to 1: the share that is washed out of the worst
/// part of it and of what is right beside; 1 where it is faint, or torn from what touches the next line. `washed` is
/// FlatDisc::washed, turned as the disc was.
[[nodiscard]] std::vector<float> lostInk(const Plane& washed, const Strip& strip, std::size_t columns);

} // namespace discal::reading

#pragma once

#include "reading/disc_finder.h"
#include "reading/plane.h"
#include "reading/strip.h"
#include "services/ports/frame_source.h"

#include <cstdint>
#include <vector>

namespace discal::reading {

/// Half of a flattened disc's width: the tag's edge, in pixels, in every picture below.
inline constexpr int kDiscRadius = 128;

/// A tag's disc as seen from above, not turned yet: square, the disc's edge at kDiscRadius from the middle.
struct FlatDisc {
    Plane ink;            ///< 0 is paper, about 1 is ink; levelled, so that uneven light is gone; 0 outside of the disc
    Plane washed;         ///< 1 where it is as bright as the camera can tell, else 0
    float clipped{0};     ///< share of the disc that is as bright as the camera can tell: glare
    float covered{0};     ///< share of it under something dark that comes in over the edge: a finger
    float contrast{0};    ///< of ink to paper before levelling, 0 to 1
    float edge{1};        ///< of the radius: beyond, where the tag's rim or a ring along it is, no ink is shown
};

[[nodiscard]] FlatDisc flatten(const services::Frame& frame, const Disc& disc);

/// The code's ink alone.
struct CodePrint {
    Plane ink;
    Plane lifted;      ///< the same, faint glyphs brought up to the others (withFaintLifted)
    Plane small;       ///< what was taken off for its size, lifted: small print, dirt, perhaps parts of a faint glyph
    Plane atEdge;      ///< what was taken off at the edge and reaches far in: a finger, perhaps with a glyph under it; or empty
};
/// Takes off what comes in from outside, what is left of a ring, and, where glyphs stand apart, pieces that are much smaller than
/// the code's and no part of one.
[[nodiscard]] CodePrint withoutSmallPrint(const FlatDisc& disc);

/// Glare lays light over paper and ink alike, so that ink beneath it is faint: brought up to what ink is elsewhere, noise too.
[[nodiscard]] Plane withFaintLifted(Plane ink);

/// Angles, in radians, by which the disc may have to be turned (clockwise on the screen) for its lines to run level, best first,
/// each within half a turn: whether it then stands on its head isn't said. At most `most`.
///
/// From how uneven the ink is when it is added up line by line: uneven where lines and the space between them fall together
/// (Postl 1986, "Detection of linear oblique structures and skew scan in digitized documents", ICPR).
[[nodiscard]] std::vector<float> levelAngles(const Plane& ink, std::size_t most);

/// The ink turned by this angle about the middle.
[[nodiscard]] Plane turned(const Plane& ink, float angle);

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

/// The colours of the disc, turned by this angle, for people to look at: a square of 2 x kDiscRadius pixels.
[[nodiscard]] services::Frame picture(const services::Frame& frame, const Disc& disc, float angle);

} // namespace discal::reading

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
    float clipped{0};     ///< share of the disc that is as bright as the camera can tell: glare
    float covered{0};     ///< share of it under something dark that comes in over the edge: a finger
    float contrast{0};    ///< of ink to paper before levelling, 0 to 1
};

[[nodiscard]] FlatDisc flatten(const services::Frame& frame, const Disc& disc);

/// The ink without pieces that are much smaller than the code's glyphs and no part of one, or that come in from outside, as far
/// as glyphs stand apart.
struct CodePrint {
    Plane ink;
    bool isCut{false}; ///< what was taken off at the edge may have been a glyph
};
[[nodiscard]] CodePrint withoutSmallPrint(const Plane& ink);

/// Glare lays light over paper and ink alike, so that ink beneath it is faint: brought up to what ink is elsewhere, noise too.
[[nodiscard]] Plane withFaintLifted(Plane ink);

/// Angles, in radians, by which the disc may have to be turned (clockwise on the screen) for its lines to run level, best first,
/// each within half a turn: whether it then stands on its head isn't said. At most `most`.
///
/// From how uneven the ink is when it is added up line by line: uneven where lines and the space between them fall together
/// (Postl 1986, "Detection of linear oblique structures and skew scan in digitized documents", ICPR).
[[nodiscard]] std::vector<float> levelAngles(const FlatDisc& disc, std::size_t most);

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

/// What is printed on an upright disc.
struct Print {
    std::vector<PrintedLine> lines; ///< from top to bottom, small print too
    /// Of each pixel which line's ink it is, from 1; 0: no ink, or nobody's. A tail that hangs down into the next line is still
    /// its own line's.
    std::vector<std::uint8_t> owners;
};

/// All lines with print. Two that nearly touch are parted where there is less than `valley`
/// of the ink of either.
[[nodiscard]] Print findLines(const Plane& upright, float valley);

/// These of its lines, by index, side by side.
[[nodiscard]] Strip makeStrip(const Plane& upright, const Print& print, const std::vector<std::size_t>& lines);

/// The colours of the disc, turned by this angle, for people to look at: a square of 2 x kDiscRadius pixels.
[[nodiscard]] services::Frame picture(const services::Frame& frame, const Disc& disc, float angle);

} // namespace discal::reading

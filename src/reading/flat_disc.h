#pragma once

#include "reading/disc_finder.h"
#include "reading/plane.h"
#include "services/ports/frame_source.h"

#include <cmath>

namespace discal::reading {

/// Half of a flattened disc's width: the tag's edge, in pixels, in every picture below.
inline constexpr int kDiscRadius = 128;

/// Its width and height.
inline constexpr int kDiscSide = 2 * kDiscRadius + 1;

/// Of the radius: what is beyond it is no print where a rim or a ring is seen there.
inline constexpr float kPrinted = 0.93F;
/// Of full ink: what hangs together and is at least so dark is a piece; faint glyphs are, too.
inline constexpr float kPiece = 0.28F;

/// How far a pixel is from the middle, of the radius.
[[nodiscard]] inline float radiusAt(int x, int y) {
    return std::hypot(static_cast<float>(x - kDiscRadius), static_cast<float>(y - kDiscRadius)) / kDiscRadius;
}

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

/// The ink turned by this angle about the middle.
[[nodiscard]] Plane turned(const Plane& ink, float angle);

/// The colours of the disc, turned by this angle, for people to look at: a square of 2 x kDiscRadius pixels.
[[nodiscard]] services::Frame picture(const services::Frame& frame, const Disc& disc, float angle);

} // namespace discal::reading

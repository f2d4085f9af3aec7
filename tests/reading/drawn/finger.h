#pragma once

#include "reading/drawn/chance.h"
#include "reading/drawn/homography.h"
#include "reading/drawn/light.h"

namespace discal::drawn {

/// A finger seen from above: pixels and radians.
struct Finger {
    Point tip;         ///< its foremost point
    double heading{0}; ///< the way it points
    double halfWidth{100};
    Colour tone;
};

/// Skin from pale to dark, by chance.
[[nodiscard]] Colour skinTone(Chance& chance);
/// Draws it with shading, creases and at times a nail.
void drawFinger(cairo_t* cr, const Finger& finger, Chance& chance);
/// Lays it over a picture, its edge out of focus by some pixels.
void layFinger(Light& picture, const Finger& finger, double softness, Chance chance);

} // namespace discal::drawn

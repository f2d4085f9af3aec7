#pragma once

#include "reading/flat_disc.h"
#include "reading/plane.h"

namespace discal::reading {

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

} // namespace discal::reading

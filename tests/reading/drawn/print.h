#pragma once

#include "reading/drawn/chance.h"
#include "reading/drawn/homography.h"
#include "reading/drawn/light.h"
#include "reading/drawn/typefaces.h"

#include <string>
#include <vector>

namespace discal::drawn {

/// A tag seen straight from above, cut out: linear light with coverage, premultiplied. The disc's centre is the
/// picture's; the picture reaches kReach radii to each side.
struct FlatTag {
    static constexpr double kReach = 1.1;
    int size{0};             ///< pixels a side
    std::vector<float> rgba; ///< size * size * 4
    double capitals{0};      ///< height of the code's capitals, of the disc's diameter
    double codeReach{0};     ///< how far the code's ink reaches from the centre, in radii
    double printReach{0};    ///< the same with the small print, without the rim line
    std::string typeface;
    int lines{1};                   ///< the code stands on so many
    std::vector<Point> codeCorners; ///< of the boxes round the code's lines, in radii from the centre, y down

    /// How far the code's ink reaches from the centre in a direction (unit vector), in radii.
    [[nodiscard]] double reachTowards(Point direction) const;
};

/// Draws a tag with this code ("RKD 014"), all else by chance: layout, typeface, paper, ink, small print, rim line.
/// Fine enough to be seen with a disc of `diameter` pixels.
[[nodiscard]] FlatTag printTag(const std::string& code, TypefaceSet typefaces, double diameter, Chance chance);
/// A disc of backing paper, as a sheet shows where a tag was taken off.
[[nodiscard]] FlatTag takenTag(double diameter, Chance chance);

} // namespace discal::drawn

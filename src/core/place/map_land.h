#pragma once

#include "core/place/map_lines.h"

#include <vector>

/// Where the land is, for a map that fills it.
namespace discal::place {

/// A closed line; its last point is joined to the first.
using Ring = std::vector<LatLon>;

/// The land within a box, in two sheets that may overlap: the counties of the United States, and the rest of the world by
/// another source. A place is land when a ray from it crosses the rings of either sheet an odd number of times. Between
/// the two along the borders of the United States a strip of up to some hundred metres may be in neither.
struct Land {
    std::vector<Ring> counties;
    std::vector<Ring> rest;
};

/// Points nearer than `finest` degrees of longitude to the one before are left out, and rings that are smaller. Some
/// milliseconds for a continent, far less for a county. Where damaged bytes don't close a ring there is no land.
[[nodiscard]] Land landIn(const Gazetteer& gazetteer, const MapBox& box, double finest);

} // namespace discal::place

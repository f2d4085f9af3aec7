#pragma once

#include "core/place/position.h"

/// Distances and directions on the WGS84 ellipsoid (Karney 2013, J. Geodesy 87:43-55, by GeographicLib). Pure.
namespace discal::place {

/// Degrees, north and east positive.
struct LatLon {
    double lat{0};
    double lon{0};
};
[[nodiscard]] LatLon latLonOf(const Position& position);

/// The shortest way from one place to another.
struct Flight {
    double metres{0};
    double azimuthFrom{0};  ///< degrees clockwise from north at the start, -180 to 180
    double azimuthTo{0};    ///< the same at the end, in the direction of travel
};
/// Latitudes -90 to 90; longitudes may be any number of turns. Outside of that all is NaN.
[[nodiscard]] Flight flightBetween(const LatLon& from, const LatLon& to);

} // namespace discal::place

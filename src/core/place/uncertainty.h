#pragma once

#include <chrono>
#include <optional>

/// How wrong a place may be, in metres. Source, unless said otherwise: Chapman and Wieczorek 2020,
/// Georeferencing Best Practices, GBIF, doi:10.15468/doc-gg7h-s853 (the point-radius method).
namespace discal::place {

/// Lengths of one degree on the WGS84 ellipsoid at a latitude.
struct DegreeMetres {
    double north; ///< along the meridian: pi M / 180, M the meridional radius of curvature
    double east;  ///< along the parallel: pi N cos(latitude) / 180, N that of the prime vertical; 0 at a pole
};

/// Latitude in degrees, -90 to +90; anything else, NaN too, gives NaN in both.
/// Source of the ellipsoid: a = 6 378 137 m, 1/f = 298.257 223 563 (WGS84, NGA.STND.0036).
[[nodiscard]] DegreeMetres degreeMetres(double latitudeDegrees);

/// Uncertainty, in metres, that comes from coordinates written only to `stepDegrees`, say 0.01 or 1/60. The
/// whole step counts, not half, since nobody knows whether the writer rounded or cut off. Step from 0 to 180
/// degrees; NaN in, or anything outside, gives NaN out. The method takes a degree's length at the given
/// latitude for the whole step, so it is meant for steps of a degree or less.
[[nodiscard]] double coordinatePrecisionMetres(double latitudeDegrees, double stepDegrees);

/// Half the angle that a compass word stands for, in degrees: "north-east" among eight words means anything
/// from 22.5 degrees left to 22.5 right of it.
inline constexpr double kHalfAngleOf4Words = 45.0;   ///< N, E, S, W
inline constexpr double kHalfAngleOf8Words = 22.5;   ///< NE and the like
inline constexpr double kHalfAngleOf16Words = 11.25; ///< NNE and the like

/// Uncertainty, in metres, of a place given as a distance and a compass word: 2 d sin(halfAngle / 2), the
/// chord between the middle of the sector and its edge. Distance 0 or more, half angle 0 to 180 degrees; NaN
/// in, or anything outside, gives NaN out.
[[nodiscard]] double headingUncertaintyMetres(double distanceMetres, double halfAngleDegrees);

/// Uncertainty, in metres, of a receiver's position from the accuracy it stated: twice that, because a
/// phone's accuracy is roughly a radius for half of all fixes. Unknown accuracy (nullopt, or not a positive
/// number): 30 m after 1 May 2000 (UTC date), when the deliberate degrading of civil GPS ended, else 100 m.
[[nodiscard]] double receiverUncertaintyMetres(std::optional<double> accuracyMetres,
                                               std::chrono::sys_days date);

} // namespace discal::place

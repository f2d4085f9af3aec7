#pragma once

#include <chrono>
#include <optional>
#include <string_view>

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

/// Uncertainty, in units of the distance, of a distance as it was written: half of the step that its digits imply. With
/// decimals the last one, or a half or quarter where the fraction is one; of whole numbers the second digit at the finest
/// when only noughts follow it: 10.1 gives 0.05, 10.5 gives 0.25, 10.25 gives 0.125, 10 and 33 give 0.5, 140 gives 5,
/// 1000 gives 50. Digits with at most one point or comma, not zero; nullopt otherwise.
[[nodiscard]] std::optional<double> offsetPrecision(std::string_view written);

/// Uncertainty, in metres, of a place so far from another along a heading: the distance from the middle of the sector to
/// its farthest corner, when the distance is off by `distanceOffMetres` (its own precision and all that the starting point
/// is off) and the heading by `halfAngleDegrees`. With nothing off in the distance it is headingUncertaintyMetres().
/// Values 0 or more; NaN in, or anything outside, gives NaN out. Source: Wieczorek, Guo and Hijmans 2004, Int. J. Geogr.
/// Inf. Sci. 18:745-767 (the formula from memory; its limits are tested).
[[nodiscard]] double offsetUncertaintyMetres(double distanceMetres, double distanceOffMetres, double halfAngleDegrees);

/// Uncertainty, in metres, of a place given by two distances at right angles ("3 km north and 2 km east"), each off by so
/// much: the half diagonal of what they leave open. 1 km either way in steps of 1 km: 0.707 km.
[[nodiscard]] double rightAngledUncertaintyMetres(double firstOffMetres, double secondOffMetres);

/// Uncertainty, in metres, of a cell of a square grid, from its middle: half its diagonal. 1 km gives 707 m.
[[nodiscard]] double gridCellUncertaintyMetres(double sideMetres);

/// Uncertainty, in metres, of a place that somebody points at on a map: what a millimetre of the map is on the ground, since
/// nobody points better, and what the map itself may be off. Both 0 or more; NaN in, or anything outside, gives NaN out.
/// The millimetre is the method's advice for reading a paper map with a rule (from memory).
[[nodiscard]] double pointedUncertaintyMetres(double metresPerMillimetre, double mapOffMetres);

/// What coordinates of unknown datum may be off anywhere, in metres.
inline constexpr double kUnknownDatumMetres = 5'359;

/// Sources of a place's uncertainty, in metres; what doesn't apply is 0.
struct PointRadius {
    double extent{0};              ///< from the named place's middle to its farthest edge
    double coordinatePrecision{0}; ///< coordinatePrecisionMetres()
    double receiver{0};            ///< receiverUncertaintyMetres()
    double datum{0};               ///< kUnknownDatumMetres, or 0
    double offset{0};              ///< distance from the named place
    double offsetOff{0};           ///< offsetPrecision() in metres
    double halfAngle{0};           ///< degrees, of the compass word; only with an offset
};

/// All of them together: those that act in any direction add up; along a heading they widen the distance
/// (offsetUncertaintyMetres). Negative or NaN gives NaN.
[[nodiscard]] double pointRadiusMetres(const PointRadius& sources);

} // namespace discal::place

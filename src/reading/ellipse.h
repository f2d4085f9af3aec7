#pragma once

#include "reading/disc_finder.h"
#include "reading/plane.h"

#include <cstddef>
#include <optional>
#include <vector>

namespace discal::reading {

/// Of a picture, in its pixels.
struct Point {
    float x;
    float y;
};

constexpr float kLeastDiscRadius = 5; ///< pixels of the picture that is searched

/// How far a point is from the middle, where the edge is 1.
[[nodiscard]] float distanceIn(const Disc& disc, float x, float y);

/// Which of the points lie on the ellipse's edge, nearly.
[[nodiscard]] std::vector<std::size_t> agreeing(const std::vector<Point>& points, const Disc& disc);

/// How much of the edge the chosen points cover, seen from the middle, 0 to 1.
[[nodiscard]] float coverageOf(const std::vector<Point>& points, const std::vector<std::size_t>& chosen, const Disc& disc);

/// The ellipse through five of the points that most others agree with, made finer by all that do; one that a tag in the
/// picture can have, seen at a tilt of up to 44 degrees. Its `score` is not set. The same for the same points. At least five.
[[nodiscard]] std::optional<Disc> bestEllipse(const std::vector<Point>& points, const Plane& plane);

} // namespace discal::reading

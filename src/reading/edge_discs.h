#pragma once

#include "reading/disc_finder.h"
#include "reading/plane.h"

#include <vector>

namespace discal::reading {

/// Discs that are brighter than what is around, if only by a trace: a pale tag on pale paper, half of it in shade. In pixels
/// of the plane; without a score. Slower than thresholds, and finds more that is no tag. From any thread.
///
/// Each point of an edge votes for the middles that its brighter side may belong to (Duda and Hart 1972,
/// doi:10.1145/361237.361242, with the direction of the edge as Kimme and others 1975, doi:10.1145/360666.360677); an ellipse is
/// laid through those that voted alike.
[[nodiscard]] std::vector<Disc> discsByEdges(const Plane& plane);

} // namespace discal::reading

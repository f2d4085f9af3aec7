#pragma once

#include "services/ports/frame_source.h"

#include <vector>

namespace discal::reading {

/// A round tag in a frame, seen from the side as an ellipse; pixels of the frame, y downwards.
struct Disc {
    float x{0};        ///< middle
    float y{0};
    float major{0};    ///< half of the longer axis
    float minor{0};    ///< half of the shorter axis
    float angle{0};    ///< of the longer axis against x, radians
    float coverage{0}; ///< how much of its edge was seen, 0 to 1
    float score{0};    ///< the greater, the likelier a tag; comparable within a frame
};

/// Discs that may be tags, best first, at most `most`; none twice. A finger over part of the edge does no harm. From about 40
/// pixels across up to nearly the whole frame. From any thread.
///
/// Thresholds on the least of red, green and blue; the outer boundary of each bright region; an ellipse through five of its
/// points that most others agree with (Fischler and Bolles 1981, doi:10.1145/358669.358692).
[[nodiscard]] std::vector<Disc> findDiscs(const services::Frame& frame, std::size_t most);

} // namespace discal::reading

#pragma once

#include "core/place/gazetteer.h"

#include <cstdint>
#include <functional>
#include <span>

/// What a map draws, from the gazetteer's file: lines and towns within a box.
namespace discal::place {

/// What lies on either side of a line; the wider the matter, the earlier.
enum class LineKind : std::uint8_t {
    Shore, ///< land and water; also the edge of the United States where only the Census Bureau's counties end
    Country, ///< two countries
    Region,  ///< two states or provinces of one country
    County,  ///< two counties of one state; known in the United States only
};

/// Degrees; west and east may lie beyond 180 for a box across the date line: 175 to 190.
struct MapBox {
    double west{0};
    double south{0};
    double east{0};
    double north{0};
};

/// Calls `draw` with each piece of a line that may touch the box: 2 to 64 points, borrowed for the call,
/// their longitudes shifted by whole turns into the box where needed. Natural Earth's coarser lines inside
/// and around the United States are left out. Looks at some 34,000 boxes: a fraction of a millisecond, and
/// some nanoseconds a point. Of a line the pieces come in their order, each beginning where the one before it ends.
/// Kinds after `finest` are left out.
void forEachLine(const Gazetteer& gazetteer, const MapBox& box,
                 const std::function<void(LineKind, std::span<const LatLon>)>& draw,
                 LineKind finest = LineKind::County);

/// Calls `draw` with each town in the box of at least so many people; 0 takes also those of unknown size.
/// Parts of towns are left out. Its name: Gazetteer::townName.
void forEachTown(const Gazetteer& gazetteer, const MapBox& box, double fewestPeople,
                 const std::function<void(const TownRecord&, const LatLon&)>& draw);

} // namespace discal::place

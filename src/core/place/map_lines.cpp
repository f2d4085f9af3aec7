#include "core/place/map_lines.h"

#include <algorithm>
#include <cmath>
#include <optional>
#include <vector>

namespace discal::place {

namespace {

AreaIndex countryOf(const GazetteerFile& file, AreaIndex area) {
    for (int steps = 0; steps < 3 && area != kNoArea; ++steps) {
        const AreaRecord record = file.area(area);
        if (record.kind == AreaRecord::Kind::Country)
            break;
        area = record.parent;
    }
    return area;
}

/// Nothing where another source has a better line.
std::optional<LineKind> kindOf(const GazetteerFile& file, AreaIndex one, AreaIndex other) {
    const AreaRecord a = file.area(one);
    if (other == kNoArea)
        return a.isCoarse ? std::nullopt : std::optional(LineKind::Shore);
    const AreaRecord b = file.area(other);
    if (countryOf(file, one) != countryOf(file, other))
        return LineKind::Country;
    if (a.isCoarse && b.isCoarse)
        return std::nullopt;
    const bool areCounties = a.kind == AreaRecord::Kind::County && b.kind == AreaRecord::Kind::County;
    return areCounties && a.parent == b.parent ? LineKind::County : LineKind::Region;
}

struct Units {
    double west, south, east, north;
};
Units unitsOf(const MapBox& box) {
    return {box.west * kUnitsPerDegree, box.south * kUnitsPerDegree, box.east * kUnitsPerDegree,
            box.north * kUnitsPerDegree};
}

/// The turn by which west..east has to be shifted to meet the box, in units; nothing when it doesn't.
std::optional<double> shiftInto(const Units& box, double west, double south, double east, double north) {
    if (south > box.north || north < box.south)
        return std::nullopt;
    for (const double shift : {0.0, 2.0 * kHalfTurn, -2.0 * kHalfTurn})
        if (west + shift <= box.east && east + shift >= box.west)
            return shift;
    return std::nullopt;
}

} // namespace

void forEachLine(const Gazetteer& gazetteer, const MapBox& box,
                 const std::function<void(LineKind, std::span<const LatLon>)>& draw, LineKind finest) {
    const Units units = unitsOf(box);
    const Borders borders = gazetteer.borders();
    std::vector<LatLon> points;
    // A damaged file may give each arc all pieces; a whole one has fewer than bytes of them.
    std::size_t left = gazetteer.file().part(GazetteerFile::Chunks).size();
    for (std::uint32_t arc = 0; arc < borders.arcCount() && left > 0; ++arc) {
        std::optional<LineKind> kind;
        bool isAsked = false;
        borders.piecesOf(arc, [&](const Borders::Piece& piece) {
            if (left == 0)
                return;
            --left;
            const auto shift = shiftInto(units, piece.west, piece.south, piece.east, piece.north);
            if (!shift)
                return;
            if (!isAsked)
                kind = kindOf(gazetteer.file(), piece.one, piece.other);
            isAsked = true;
            if (!kind || *kind > finest)
                return;
            points.clear();
            borders.pointsOf(piece.chunk, [&](std::int32_t x, std::int32_t y) {
                points.push_back({y / static_cast<double>(kUnitsPerDegree), (x + *shift) / kUnitsPerDegree});
            });
            if (points.size() >= 2)
                draw(*kind, points);
        });
    }
}

void forEachTown(const Gazetteer& gazetteer, const MapBox& box, double fewestPeople,
                 const std::function<void(const TownRecord&, const LatLon&)>& draw) {
    const Units units = unitsOf(box);
    const auto cellAt = [](double fromEdge, std::int32_t count) {
        return static_cast<std::int32_t>(std::clamp(std::floor(fromEdge / kCellUnits), 0.0, count - 1.0));
    };
    const Towns towns = gazetteer.towns();
    const std::int32_t north = cellAt(units.north + kQuarterTurn, kRows);
    for (std::int32_t row = cellAt(units.south + kQuarterTurn, kRows); row <= north; ++row)
        for (const double shift : {0.0, 2.0 * kHalfTurn, -2.0 * kHalfTurn}) {
            const double west = std::max(units.west - shift, -1.0 * kHalfTurn);
            const double east = std::min(units.east - shift, 1.0 * kHalfTurn);
            if (west > east)
                continue;
            towns.in(row, cellAt(west + kHalfTurn, kColumns), cellAt(east + kHalfTurn, kColumns),
                     [&](const TownRecord& town) {
                         const bool isIn = town.x >= west && town.x <= east && town.y >= units.south &&
                                           town.y <= units.north;
                         if (isIn && !town.isPart && town.people >= fewestPeople)
                             draw(town, {town.y / static_cast<double>(kUnitsPerDegree),
                                         (town.x + shift) / kUnitsPerDegree});
                     });
        }
}

} // namespace discal::place

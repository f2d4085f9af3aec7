#pragma once

#include "map/map_style.h"
#include "viewmodels/map_page_model.h"

#include <QPainter>
#include <vector>

/// What lies on the ground of a map. Each draws into the window's dp.
namespace discal::map {

/// How large the sign of so many butterflies is, from its middle, in dp.
[[nodiscard]] double radiusOf(int count, const MapStyle& style);
/// The ring that says where we are goes around what stands there; there must be a `here`.
[[nodiscard]] double ringRadiusOf(const viewmodels::MapPageModel& map, const MapStyle& style);

/// Far out only the site in use has its flag: the others would stand at the same spot.
[[nodiscard]] bool isFlagShown(const viewmodels::MapPageModel& map, const viewmodels::MapPageModel::Site& site);
[[nodiscard]] QRectF areaOfFlag(const viewmodels::MapPageModel& map, const viewmodels::MapPageModel::Site& site);

void drawUncertainty(QPainter& painter, const viewmodels::MapPageModel& map, const MapStyle& style);
/// Flags of sites, butterflies and their counts, where we are; and the names of sites where there is room.
void drawMarks(QPainter& painter, const viewmodels::MapPageModel& map, const MapStyle& style, bool hasCross);
/// Scale and north in the corners.
void drawScaleAndNorth(QPainter& painter, const viewmodels::MapPageModel& map, const MapStyle& style);
void drawCross(QPainter& painter, const viewmodels::MapPageModel& map, const MapStyle& style);

/// Where scale and north stand, and the cross if there is one: no name does.
[[nodiscard]] std::vector<QRectF> areasOfFurniture(const viewmodels::MapPageModel& map, const MapStyle& style, bool hasCross);

} // namespace discal::map

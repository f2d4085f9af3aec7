#pragma once

#include "core/place/map_view.h"
#include "map/map_style.h"

#include <QImage>
#include <QPainter>
#include <vector>

namespace discal::map {

/// The ground of a map: land and water, lines, towns and names, drawn once for a window and some room around it, so that
/// it can be moved without drawing anew.
class MapSheet {
public:
    /// Around the window on each side, in parts of its width and height.
    static constexpr double kRoom = 0.25;

    /// Draws what `view` shows. `names`: nullptr draws bare ground. `density`: of the screen's pixels. `marks`: where no
    /// name may stand, in pixels of the view. On any thread, as long as the names live.
    void draw(const place::MapView& view, const place::Gazetteer* names, const MapStyle& style, double density,
              const std::vector<QRectF>& marks);
    /// It was drawn for this very view.
    [[nodiscard]] bool isOf(const place::MapView& view) const { return !m_image.isNull() && view == m_window; }
    [[nodiscard]] bool isOfScale(const place::MapView& view) const { return view.unitsPerPixel() == m_view.unitsPerPixel(); }
    /// Of the room on some side most is used up, or more than all.
    [[nodiscard]] bool isNearEdge(const place::MapView& view) const;
    [[nodiscard]] bool isEmpty() const { return m_image.isNull(); }
    void paint(QPainter& painter, const place::MapView& view) const;

private:
    QImage m_image;
    place::MapView m_window{{0, 0}, 1, 1, 1};
    place::MapView m_view{{0, 0}, 1, 1, 1};  ///< with the room
    double m_density{1};
};

} // namespace discal::map

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
    /// name may stand, in pixels of the view.
    void draw(const place::MapView& view, const place::Gazetteer* names, const MapStyle& style, double density,
              const std::vector<QRectF>& marks);
    void forget() { m_image = {}; }
    /// It was drawn for this very view.
    [[nodiscard]] bool isOf(const place::MapView& view) const { return !m_image.isNull() && view == m_window; }
    /// It can show the view as it is, only moved.
    [[nodiscard]] bool shows(const place::MapView& view) const;
    /// It was drawn at another scale, and can stand in, larger or smaller, while fingers pull.
    [[nodiscard]] bool canStandIn(const place::MapView& view) const {
        return !m_image.isNull() && view.unitsPerPixel() != m_view.unitsPerPixel();
    }
    void paint(QPainter& painter, const place::MapView& view) const;

private:
    QImage m_image;
    place::MapView m_window{{0, 0}, 1, 1, 1};
    place::MapView m_view{{0, 0}, 1, 1, 1};  ///< with the room
    double m_density{1};
};

} // namespace discal::map

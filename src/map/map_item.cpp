#include "map/map_item.h"

#include "map/map_marks.h"

#include <QQuickWindow>

namespace discal::map {

using viewmodels::MapPageModel;

MapItem::MapItem(QQuickItem* parent) : QQuickPaintedItem(parent) {
    setOpaquePainting(true);
    setAntialiasing(true);
    connect(this, &MapItem::styleChanged, this, [this] {
        tellApart();
        update();
    });
}

void MapItem::setMap(MapPageModel* map) {
    if (map == m_map)
        return;
    if (m_map != nullptr)
        m_map->disconnect(this);
    m_map = map;
    if (m_map != nullptr) {
        connect(m_map, &MapPageModel::viewChanged, this, [this] { update(); });
        m_map->resize(width(), height());
        tellApart();
    }
    emit mapChanged();
    update();
}

void MapItem::geometryChange(const QRectF& newGeometry, const QRectF& oldGeometry) {
    QQuickPaintedItem::geometryChange(newGeometry, oldGeometry);
    if (m_map != nullptr)
        m_map->resize(width(), height());
    update();
}

void MapItem::tellApart() {
    // Two counts of two digits, side by side
    if (m_map != nullptr && !m_family.isEmpty())
        m_map->setApart(2 * radiusOf(44, style()) + 4);
}

MapStyle MapItem::style() const {
    return {m_land, m_water, m_shore, m_county, m_region, m_ink, m_quiet, m_paper, m_aster, m_gold, m_family, m_textScale};
}

std::vector<QRectF> MapItem::areasOfMarks() const {
    std::vector<QRectF> areas;
    const auto add = [&](const place::LatLon& at, double radius) {
        const place::MapPoint p = m_map->view().pointOf(at);
        areas.emplace_back(p.x - radius, p.y - radius, 2 * radius, 2 * radius);
    };
    for (const MapPageModel::Mark& mark : m_map->marks())
        add(mark.at, radiusOf(mark.count, style()) + 3);
    for (const MapPageModel::Site& site : m_map->sites())
        if (isFlagShown(*m_map, site))
            areas.push_back(areaOfFlag(*m_map, site));
    for (const QRectF& area : areasOfScaleAndNorth(*m_map, style()))
        areas.push_back(area);
    if (m_map->here())
        add(m_map->here()->at, 14);
    return areas;
}

void MapItem::paint(QPainter* painter) {
    if (m_map == nullptr || m_family.isEmpty())
        return;
    const MapStyle now = style();
    const place::MapView& view = m_map->view();
    // While fingers pull, a sheet that is near enough is moved: names are cut at the edge, and at another scale lines are
    // blurred, until they let go.
    const bool isOther = now != m_drawnIn || m_map->names() != m_drawnFrom;
    const bool isNear = m_map->isHeld() && (m_sheet.canStandIn(view) || m_sheet.shows(view));
    if (isOther || (!isNear && (!m_sheet.isOf(view) || m_map->marks().size() != m_drawnMarks))) {
        const double density = window() != nullptr ? window()->effectiveDevicePixelRatio() : 1;
        m_sheet.draw(view, m_map->names(), now, density, areasOfMarks());
        m_drawnIn = now;
        m_drawnFrom = m_map->names();
        m_drawnMarks = m_map->marks().size();
    }
    painter->fillRect(boundingRect(), m_land);
    m_sheet.paint(*painter, view);
    painter->setRenderHint(QPainter::Antialiasing);
    drawUncertainty(*painter, *m_map, now);
    drawScaleAndNorth(*painter, *m_map, now);
    drawMarks(*painter, *m_map, now);
    if (m_hasCross)
        drawCross(*painter, *m_map, now);
}

} // namespace discal::map

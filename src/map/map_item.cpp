#include "map/map_item.h"

#include "map/map_marks.h"

#include <QQuickWindow>
#include <utility>

namespace discal::map {

using viewmodels::MapPageModel;

MapItem::MapItem(QQuickItem* parent) : QQuickPaintedItem(parent) {
    setOpaquePainting(true);
    setAntialiasing(true);
    m_drawer.setMaxThreadCount(1);
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
    constexpr int kTwoDigits = 44;
    if (m_map != nullptr && !m_family.isEmpty())
        m_map->setApart(2 * radiusOf(kTwoDigits, style()) - 2);
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
    for (const QRectF& area : areasOfFurniture(*m_map, style(), m_hasCross))
        areas.push_back(area);
    if (m_map->here())
        add(m_map->here()->at, ringRadiusOf(*m_map, style()) + 4);
    return areas;
}

double MapItem::density() const { return window() != nullptr ? window()->effectiveDevicePixelRatio() : 1; }

void MapItem::drawAhead() {
    if (m_isDrawingAhead)
        return;
    m_isDrawingAhead = true;
    auto sheet = std::make_shared<MapSheet>();
    m_drawer.start([this, sheet, view = m_map->view(), names = m_map->names(), in = style(), at = density(),
                    marks = areasOfMarks()] {
        sheet->draw(view, names, in, at, marks);
        QMetaObject::invokeMethod(this, [this, sheet, in] { takeAhead(*sheet, in); }, Qt::QueuedConnection);
    });
}

void MapItem::takeAhead(MapSheet& sheet, const MapStyle& drawnIn) {
    m_isDrawingAhead = false;
    if (m_map == nullptr || !m_map->isHeld() || drawnIn != m_drawnIn || !sheet.isOfScale(m_map->view()))
        return;
    std::swap(m_sheet, sheet);
    update();
}

void MapItem::paint(QPainter* painter) {
    if (m_map == nullptr || m_family.isEmpty())
        return;
    const MapStyle now = style();
    const place::MapView& view = m_map->view();
    // While fingers pull, the sheet that is there is moved, or stretched: names are cut at the edge, and lines blurred, until
    // they let go.
    const bool isOther = now != m_drawnIn || m_map->names() != m_drawnFrom;
    if (!isOther && m_map->isHeld() && !m_sheet.isEmpty()) {
        if (m_sheet.isOfScale(view) && m_sheet.isNearEdge(view))
            drawAhead();
    } else if (isOther || !m_sheet.isOf(view) || m_map->marks().size() != m_drawnMarks) {
        m_sheet.draw(view, m_map->names(), now, density(), areasOfMarks());
        m_drawnIn = now;
        m_drawnFrom = m_map->names();
        m_drawnMarks = m_map->marks().size();
    }
    painter->fillRect(boundingRect(), m_land);
    m_sheet.paint(*painter, view);
    painter->setRenderHint(QPainter::Antialiasing);
    drawUncertainty(*painter, *m_map, now);
    drawScaleAndNorth(*painter, *m_map, now);
    drawMarks(*painter, *m_map, now, m_hasCross);
    if (m_hasCross)
        drawCross(*painter, *m_map, now);
}

} // namespace discal::map

#include "map/map_marks.h"

#include "map/names_on_map.h"

#include <QFontMetricsF>
#include <QLineF>
#include <QLocale>
#include <QPainterPath>
#include <algorithm>
#include <cmath>

namespace discal::map {

using viewmodels::MapPageModel;

namespace {

constexpr double kMargin = 14;
constexpr double kScaleMost = 120;
/// The ring about where we are, while nothing else stands there.
constexpr double kBareRing = 11;
constexpr double kFlagHeight = 36;
/// Beyond so many metres a dp all sites of a station stand at one spot.
constexpr double kFlagsUpTo = 60;
constexpr double kPole = 2.5;
constexpr double kCross = 30;

QPointF pointOf(const MapPageModel& map, const place::LatLon& at) {
    const place::MapPoint point = map.view().pointOf(at);
    return {point.x, point.y};
}

/// With so much around it.
bool isInView(const MapPageModel& map, const QPointF& point, double around) {
    return QRectF(0, 0, map.view().width(), map.view().height()).adjusted(-around, -around, around, around).contains(point);
}

QColor sheer(QColor colour, double opacity) {
    colour.setAlphaF(static_cast<float>(opacity));
    return colour;
}

/// A circle so large that it holds the whole window has no edge to draw.
bool holdsWindow(const MapPageModel& map, const QPointF& middle, double radius) {
    const double x = std::max(middle.x(), map.view().width() - middle.x());
    const double y = std::max(middle.y(), map.view().height() - middle.y());
    return std::hypot(x, y) < radius;
}

/// A pennant on a pole that stands on the spot, as they mark plots in the field.
void drawFlag(QPainter& painter, const QPointF& foot, bool isCurrent, const MapStyle& style) {
    const QPointF top = foot - QPointF(0, kFlagHeight);
    QPainterPath pennant;
    pennant.moveTo(top);
    pennant.lineTo(top + QPointF(14, 5.5));
    pennant.lineTo(top + QPointF(0, 11));
    pennant.closeSubpath();
    QPainterPath pole;
    pole.moveTo(foot);
    pole.lineTo(top);
    painter.strokePath(pole, QPen(style.paper, kPole + 4, Qt::SolidLine, Qt::RoundCap));
    painter.strokePath(pennant, QPen(style.paper, 5, Qt::SolidLine, Qt::RoundCap, Qt::RoundJoin));
    painter.fillPath(pennant, isCurrent ? style.gold : style.paper);
    painter.strokePath(pennant, QPen(style.ink, 2, Qt::SolidLine, Qt::RoundCap, Qt::RoundJoin));
    painter.strokePath(pole, QPen(style.ink, kPole, Qt::SolidLine, Qt::RoundCap));
}

QString countText(int count) { return QLocale().toString(count); }

QFont countFont(const MapStyle& style) { return style.font(15, QFont::ExtraBold); }

/// Beside its sign: a disc for one, half filled in a cage; a larger one with their number for several.
void drawMark(QPainter& painter, const QPointF& middle, const MapPageModel::Mark& mark, const MapStyle& style) {
    const double radius = radiusOf(mark.count, style);
    painter.setPen(Qt::NoPen);
    painter.setBrush(style.paper);
    painter.drawEllipse(middle, radius + 2, radius + 2);
    painter.setBrush(style.ink);
    if (mark.count == 1 && mark.isHeld) {
        painter.setBrush(style.paper);
        painter.setPen(QPen(style.ink, 2.2));
        painter.drawEllipse(middle, radius - 1, radius - 1);
        painter.setBrush(style.ink);
        painter.drawChord(QRectF(middle - QPointF(radius - 1, radius - 1), QSizeF(2 * radius - 2, 2 * radius - 2)),
                          180 * 16, 180 * 16);
        return;
    }
    painter.drawEllipse(middle, radius, radius);
    if (mark.count == 1)
        return;
    const QFont font = countFont(style);
    const QFontMetricsF metrics(font);
    const QString text = countText(mark.count);
    painter.setFont(font);
    painter.setPen(style.paper);
    painter.drawText(middle + QPointF(-metrics.horizontalAdvance(text) / 2, metrics.capHeight() / 2), text);
}

struct Corner {
    place::ScaleBar bar;
    QString text;
    QFont font;
    QRectF area;
};

Corner scaleOf(const MapPageModel& map, const MapStyle& style) {
    Corner corner;
    corner.bar = place::scaleBarOf(map.view().metresPerPixel(), kScaleMost);
    const QLocale locale;
    corner.text = corner.bar.metres < 1000
                      ? MapPageModel::tr("%1\u00a0m", "a length").arg(locale.toString(corner.bar.metres, 'f', 0))
                      : MapPageModel::tr("%1\u00a0km", "a length").arg(locale.toString(corner.bar.metres / 1000, 'f', 0));
    corner.font = style.font(15, QFont::DemiBold);
    const double height = QFontMetricsF(corner.font).capHeight() + 14;
    corner.area = {kMargin, map.view().height() - kMargin - height,
                   std::max(corner.bar.pixels, QFontMetricsF(corner.font).horizontalAdvance(corner.text)) + 4, height};
    return corner;
}

QRectF areaOfNorth(const MapPageModel& map) { return {map.view().width() - kMargin - 22, kMargin, 22, 48}; }

} // namespace

double radiusOf(int count, const MapStyle& style) {
    if (count == 1)
        return 6.5;
    const QFontMetricsF metrics(countFont(style));
    return std::max(metrics.horizontalAdvance(countText(count)), metrics.capHeight()) / 2 + 7;
}

double ringRadiusOf(const MapPageModel& map, const MapStyle& style) {
    const QPointF here = pointOf(map, map.here()->at);
    double ring = kBareRing;
    for (const MapPageModel::Mark& mark : map.marks()) {
        const double radius = radiusOf(mark.count, style) + 2;
        const double off = QLineF(pointOf(map, mark.at), here).length();
        if (off < radius)
            ring = std::max(ring, radius + off + 3);
    }
    return ring;
}

bool isFlagShown(const MapPageModel& map, const MapPageModel::Site& site) {
    return site.isCurrent || map.view().metresPerPixel() < kFlagsUpTo;
}

QRectF areaOfFlag(const MapPageModel& map, const MapPageModel::Site& site) {
    const QPointF foot = pointOf(map, site.at);
    return {foot.x() - 4, foot.y() - kFlagHeight - 2, 22, kFlagHeight + 5};
}

void drawUncertainty(QPainter& painter, const MapPageModel& map, const MapStyle& style) {
    // One surface for all: where circles lie over each other it grows no darker.
    QPainterPath all;
    all.setFillRule(Qt::WindingFill);
    for (const MapPageModel::Mark& mark : map.marks()) {
        const QPointF middle = pointOf(map, mark.at);
        const double radius = map.view().pixelsOf(mark.radiusMetres, mark.at);
        if (radius < radiusOf(mark.count, style) + 3 || !isInView(map, middle, radius) || holdsWindow(map, middle, radius))
            continue;
        all.addEllipse(middle, radius, radius);
    }
    painter.fillPath(all, sheer(style.ink, 0.07));
    painter.setBrush(Qt::NoBrush);
    painter.setPen(QPen(sheer(style.ink, 0.3), 1));
    for (const MapPageModel::Mark& mark : map.marks()) {
        const QPointF middle = pointOf(map, mark.at);
        const double radius = map.view().pixelsOf(mark.radiusMetres, mark.at);
        if (radius >= radiusOf(mark.count, style) + 3 && isInView(map, middle, radius) && !holdsWindow(map, middle, radius))
            painter.drawEllipse(middle, radius, radius);
    }
    for (const MapPageModel::Site& site : map.sites()) {
        const QPointF middle = pointOf(map, site.at);
        const double radius = map.view().pixelsOf(site.radiusMetres, site.at);
        // Of a very large one there would be mere corners.
        if (radius < 16 || radius > 0.8 * std::min(map.view().width(), map.view().height()) || !isInView(map, middle, radius))
            continue;
        QPen pen(style.quiet, 1.5);
        pen.setDashPattern({5, 4});
        painter.setPen(pen);
        painter.drawEllipse(middle, radius, radius);
    }
    if (!map.here())
        return;
    const QPointF middle = pointOf(map, map.here()->at);
    const double radius = map.view().pixelsOf(map.here()->uncertaintyMetres, map.here()->at);
    if (!isInView(map, middle, radius) || holdsWindow(map, middle, radius))
        return;
    painter.setPen(QPen(style.aster, 2));
    painter.setBrush(sheer(style.aster, 0.13));
    painter.drawEllipse(middle, radius, radius);
}

void drawMarks(QPainter& painter, const MapPageModel& map, const MapStyle& style, bool hasCross) {
    const QRectF window(0, 0, map.view().width(), map.view().height());
    NamesOnMap names(window.adjusted(4, 4, -4, -4), window);
    for (const QRectF& area : areasOfFurniture(map, style, hasCross))
        names.take(area);
    for (const MapPageModel::Site& site : map.sites())
        if (isFlagShown(map, site)) {
            drawFlag(painter, pointOf(map, site.at), site.isCurrent, style);
            names.take(areaOfFlag(map, site));
        }
    for (const MapPageModel::Mark& mark : map.marks()) {
        const QPointF middle = pointOf(map, mark.at);
        if (!isInView(map, middle, 40))
            continue;
        const double radius = radiusOf(mark.count, style) + 2;
        names.take({middle.x() - radius, middle.y() - radius, 2 * radius, 2 * radius});
        drawMark(painter, middle, mark, style);
    }
    if (map.here()) {
        const QPointF here = pointOf(map, map.here()->at);
        const double ring = ringRadiusOf(map, style);
        painter.setBrush(Qt::NoBrush);
        painter.setPen(QPen(style.paper, 7));
        painter.drawEllipse(here, ring, ring);
        painter.setPen(QPen(style.aster, 3.5));
        painter.drawEllipse(here, ring, ring);
        if (ring == kBareRing) {
            painter.setPen(Qt::NoPen);
            painter.setBrush(style.aster);
            painter.drawEllipse(here, 3.5, 3.5);
        }
        names.take({here.x() - ring - 3, here.y() - ring - 3, 2 * ring + 6, 2 * ring + 6});
    }
    for (const MapPageModel::Site& site : map.sites())
        if (isFlagShown(map, site) && map.view().metresPerPixel() < kFlagsUpTo)
            (void)names.beside(pointOf(map, site.at) - QPointF(-7, kFlagHeight - 5.5), 12, site.name,
                               style.font(16, QFont::DemiBold), style.ink);
    names.draw(painter, style.land);
}

std::vector<QRectF> areasOfFurniture(const MapPageModel& map, const MapStyle& style, bool hasCross) {
    std::vector<QRectF> areas{scaleOf(map, style).area.adjusted(-4, -4, 4, 4), areaOfNorth(map).adjusted(-3, -3, 3, 3)};
    if (hasCross)
        areas.emplace_back(map.view().width() / 2 - kCross - 2, map.view().height() / 2 - kCross - 2, 2 * kCross + 4, 2 * kCross + 4);
    return areas;
}

void drawScaleAndNorth(QPainter& painter, const MapPageModel& map, const MapStyle& style) {
    for (const QRectF& area : areasOfFurniture(map, style, false))
        painter.fillRect(area, sheer(style.land, 0.8));
    const Corner scale = scaleOf(map, style);
    const double y = scale.area.bottom() - 2;
    QPainterPath bar;
    bar.moveTo(scale.area.left() + 1, y - 7);
    bar.lineTo(scale.area.left() + 1, y);
    bar.lineTo(scale.area.left() + 1 + scale.bar.pixels, y);
    bar.lineTo(scale.area.left() + 1 + scale.bar.pixels, y - 7);
    painter.strokePath(bar, QPen(style.paper, 6, Qt::SolidLine, Qt::SquareCap, Qt::MiterJoin));
    painter.strokePath(bar, QPen(style.ink, 2.5, Qt::SolidLine, Qt::FlatCap, Qt::MiterJoin));
    drawWithHalo(painter, {scale.area.left() + 6, y - 8}, scale.text, scale.font, style.ink, style.paper);

    const QRectF north = areaOfNorth(map);
    const double x = north.center().x();
    QPainterPath arrow;
    arrow.moveTo(x, north.top());
    arrow.lineTo(x + 8, north.top() + 26);
    arrow.lineTo(x, north.top() + 20);
    arrow.lineTo(x - 8, north.top() + 26);
    arrow.closeSubpath();
    painter.strokePath(arrow, QPen(style.paper, 5, Qt::SolidLine, Qt::RoundCap, Qt::RoundJoin));
    painter.fillPath(arrow, style.paper);
    QPainterPath half;
    half.moveTo(x, north.top());
    half.lineTo(x + 8, north.top() + 26);
    half.lineTo(x, north.top() + 20);
    half.closeSubpath();
    painter.fillPath(half, style.ink);
    painter.strokePath(arrow, QPen(style.ink, 1.6, Qt::SolidLine, Qt::RoundCap, Qt::RoundJoin));
    const QFont font = style.font(15, QFont::ExtraBold);
    const QString letter = MapPageModel::tr("N", "north, on a map");
    drawWithHalo(painter, {x - QFontMetricsF(font).horizontalAdvance(letter) / 2, north.bottom() - 2}, letter, font, style.ink,
                 style.paper);
}

void drawCross(QPainter& painter, const MapPageModel& map, const MapStyle& style) {
    const QPointF middle(map.view().width() / 2, map.view().height() / 2);
    QPainterPath cross;
    for (const QPointF& way : {QPointF(1, 0), QPointF(-1, 0), QPointF(0, 1), QPointF(0, -1)}) {
        cross.moveTo(middle + way * 8);
        cross.lineTo(middle + way * kCross);
    }
    cross.addEllipse(middle, 19, 19);
    painter.setBrush(Qt::NoBrush);
    painter.strokePath(cross, QPen(style.paper, 6.5, Qt::SolidLine, Qt::FlatCap));
    painter.strokePath(cross, QPen(style.aster, 3, Qt::SolidLine, Qt::FlatCap));
    painter.setPen(Qt::NoPen);
    painter.setBrush(style.aster);
    painter.drawEllipse(middle, 2.2, 2.2);
}

} // namespace discal::map

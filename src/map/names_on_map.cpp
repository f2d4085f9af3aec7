#include "map/names_on_map.h"

#include <QFontMetricsF>
#include <QGlyphRun>
#include <QTextLayout>
#include <algorithm>
#include <cmath>

namespace discal::map {

namespace {

constexpr double kGap = 3;
constexpr double kHalo = 1.8;
constexpr int kAround = 12;

/// What the letters fill, about a baseline that begins at 0, 0.
QRectF lettersOf(const QString& name, const QFont& font) {
    const QFontMetricsF metrics(font);
    return {0, -metrics.capHeight() * 1.15, metrics.horizontalAdvance(name), metrics.capHeight() * 1.15 + metrics.descent()};
}

} // namespace

bool NamesOnMap::isTaken(const QRectF& area) const {
    return std::any_of(m_taken.begin(), m_taken.end(), [&](const QRectF& taken) { return taken.intersects(area); });
}

bool NamesOnMap::isFree(const QRectF& area) const {
    return m_room.contains(area) && !crossesEdge(area) && !isTaken(area);
}

bool NamesOnMap::beside(const QPointF& mark, double radius, const QString& name, const QFont& font,
                        const QColor& colour) {
    const QRectF letters = lettersOf(name, font);
    const double half = QFontMetricsF(font).capHeight() / 2;
    const double away = radius + kGap;
    for (const QPointF& baseline :
         {QPointF(away, half), QPointF(-away - letters.width(), half),
          QPointF(-letters.width() / 2, -away - letters.bottom() + half / 2),
          QPointF(-letters.width() / 2, away - letters.top())}) {
        const QRectF area = letters.translated(mark + baseline);
        if (!isFree(area.adjusted(-2, -2, 2, 2)))
            continue;
        take(area);
        m_written.push_back({name, font, colour, mark + baseline});
        return true;
    }
    return false;
}

bool NamesOnMap::over(const QPointF& middle, const QString& name, const QFont& font, const QColor& colour) {
    const QRectF letters = lettersOf(name, font);
    const QPointF baseline = middle - letters.center();
    const QRectF area = letters.translated(baseline);
    if (!isFree(area.adjusted(-8, -6, 8, 6)))
        return false;
    take(area.adjusted(-4, -4, 4, 4));
    m_written.push_back({name, font, colour, baseline});
    return true;
}

void NamesOnMap::draw(QPainter& painter, const QColor& halo) const {
    for (const Written& one : m_written)
        drawWithHalo(painter, one.baseline, one.name, one.font, one.colour, halo);
}

void drawWithHalo(QPainter& painter, const QPointF& baseline, const QString& words, const QFont& font,
                  const QColor& colour, const QColor& halo) {
    QTextLayout layout(words, font);
    layout.beginLayout();
    QTextLine line = layout.createLine();
    layout.endLayout();
    if (!line.isValid())
        return;
    const QPointF corner = baseline - QPointF(0, line.ascent());
    const auto runs = layout.glyphRuns();
    // Letters set all around: the outline of a word takes a hundred times as long.
    painter.setPen(halo);
    for (int i = 0; i < kAround; ++i) {
        const double angle = 2 * M_PI * i / kAround;
        for (const QGlyphRun& run : runs)
            painter.drawGlyphRun(corner + kHalo * QPointF(std::cos(angle), std::sin(angle)), run);
    }
    painter.setPen(colour);
    for (const QGlyphRun& run : runs)
        painter.drawGlyphRun(corner, run);
}

} // namespace discal::map

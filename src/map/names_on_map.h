#pragma once

#include <QFont>
#include <QPainter>
#include <QRectF>
#include <QString>
#include <vector>

namespace discal::map {

/// Names that find a place where nothing else is. First come, first served: the weightiest are to be asked first.
class NamesOnMap {
public:
    /// Nothing is written outside of the room, over what is taken, nor across the edge of the window that is looked through.
    NamesOnMap(const QRectF& room, const QRectF& window) : m_room(room), m_window(window) {}
    void take(const QRectF& area) { m_taken.push_back(area); }
    [[nodiscard]] bool crossesEdge(const QRectF& area) const { return m_window.intersects(area) && !m_window.contains(area); }
    [[nodiscard]] bool isTaken(const QRectF& area) const;
    /// Not taken, and a name may stand there.
    [[nodiscard]] bool isFree(const QRectF& area) const;

    /// Beside a mark of such a radius: to its right, left, above, below, whichever is free. False when none is.
    bool beside(const QPointF& mark, double radius, const QString& name, const QFont& font, const QColor& colour);
    /// With its middle there. False when that is taken.
    bool over(const QPointF& middle, const QString& name, const QFont& font, const QColor& colour);
    /// All that found a place, each with a halo so that lines pass behind it.
    void draw(QPainter& painter, const QColor& halo) const;

private:
    struct Written {
        QString name;
        QFont font;
        QColor colour;
        QPointF baseline;
    };
    QRectF m_room;
    QRectF m_window;
    std::vector<QRectF> m_taken;
    std::vector<Written> m_written;
};

/// Writes with a halo of some pixels.
void drawWithHalo(QPainter& painter, const QPointF& baseline, const QString& words, const QFont& font,
                  const QColor& colour, const QColor& halo);

} // namespace discal::map

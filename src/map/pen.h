#pragma once

#include <QColor>
#include <QImage>
#include <QPointF>
#include <cstdint>
#include <span>
#include <vector>

namespace discal::map {

/// Draws many short lines, and large surfaces, onto a picture of 32 bits a pixel. QPainter takes seconds for the borders of a
/// continent as one path, and makes seams where they are drawn piece by piece; here each pixel of a line costs the same
/// wherever it lies. All lengths are pixels of the picture. Ends and corners are round.
class Pen {
public:
    explicit Pen(QImage& picture);

    /// Notes a line; ink() draws what was noted, each pixel once, however many lines run through it.
    void line(const QPointF& from, const QPointF& to, double width);
    void ink(const QColor& colour);

    /// Fills what lies inside an odd number of the rings, without smoothing its edge.
    void fill(std::span<const std::vector<QPointF>> rings, const QColor& colour);

private:
    void dab(const QPointF& from, const QPointF& to, double radius);

    QImage& m_picture;
    std::vector<std::uint8_t> m_cover;  ///< of each pixel, 255 wholly
    std::vector<bool> m_hasCover;       ///< of each row
};

} // namespace discal::map

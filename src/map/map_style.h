#pragma once

#include <QColor>
#include <QFont>
#include <QString>

namespace discal::map {

/// Inks and type of a map; the colours are those of the pages.
struct MapStyle {
    QColor land;
    QColor water;
    QColor shore;
    QColor county;  ///< lines and letters of what is only ground
    QColor region;
    QColor ink;
    QColor quiet;
    QColor paper;  ///< halos, and the rings of marks
    QColor aster;  ///< where we are
    QColor gold;
    QString family;
    double textScale{1};
    bool operator==(const MapStyle&) const = default;

    /// `size` at the usual size of text; the largest text leaves room for the map.
    [[nodiscard]] QFont font(double size, QFont::Weight weight) const {
        QFont font(family);
        font.setPixelSize(qRound(size * qMin(textScale, 1.6)));
        font.setWeight(weight);
        return font;
    }
};

} // namespace discal::map

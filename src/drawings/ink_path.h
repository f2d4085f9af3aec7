#pragma once

#include <QColor>
#include <QList>
#include <QObject>
#include <QString>
#include <QtQml/qqmlregistration.h>

namespace discal::drawings {

/// One area or line of an InkDrawing, in units of its canvas; in the words of SVG Tiny 1.2, which draws it.
/// Of the screen's thread, as all here.
class InkPath : public QObject {
    Q_OBJECT
    QML_ELEMENT
    /// Path data: "M 12 6.5 L 12 12". Nothing is drawn of what can't be read.
    Q_PROPERTY(QString path MEMBER m_path NOTIFY changed)
    /// Of the area, overlapping parts filled; transparent: not filled.
    Q_PROPERTY(QColor fill MEMBER m_fill NOTIFY changed)
    /// Of the line along the path; transparent: none.
    Q_PROPERTY(QColor line MEMBER m_line NOTIFY changed)
    Q_PROPERTY(qreal width MEMBER m_width NOTIFY changed)
    /// Ends and bends of the line are round; else ends are cut square and bends pointed.
    Q_PROPERTY(bool round MEMBER m_round NOTIFY changed)
    /// Lengths of a dash and a gap by turns; empty: a line without gaps.
    Q_PROPERTY(QList<qreal> dashes MEMBER m_dashes NOTIFY changed)
    /// Drawn once more as in a mirror that stands at x = 0; such paths lie under those without a twin.
    Q_PROPERTY(bool mirrored MEMBER m_mirrored NOTIFY changed)

public:
    /// As SVG; empty when there is nothing to see.
    [[nodiscard]] QString svg() const;
    [[nodiscard]] bool isMirrored() const { return m_mirrored; }

signals:
    void changed();

private:
    QString m_path;
    QColor m_fill = Qt::transparent;
    QColor m_line = Qt::transparent;
    qreal m_width = 1;
    bool m_round = false;
    QList<qreal> m_dashes;
    bool m_mirrored = false;
};

} // namespace discal::drawings

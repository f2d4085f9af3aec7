#pragma once

#include "drawings/ink_path.h"

#include <QQmlListProperty>
#include <QQuickPaintedItem>
#include <QRectF>
#include <QtQml/qqmlregistration.h>

namespace discal::drawings {

/// A drawing of lines and areas. Fits any rectangle and keeps its shape, in the middle. Painted when it or its size
/// changes, by Qt's own reader of SVG, and kept as a picture until then: a frame around it costs no more than laying
/// that down, where Shapes of Qt Quick are drawn anew by the software renderer.
/// What lies beyond the canvas is not seen.
class InkDrawing : public QQuickPaintedItem {
    Q_OBJECT
    QML_ELEMENT
    Q_PROPERTY(QQmlListProperty<discal::drawings::InkPath> paths READ paths)
    Q_CLASSINFO("DefaultProperty", "paths")
    /// What of the plane on which the paths are drawn fills the item.
    Q_PROPERTY(QRectF canvas MEMBER m_canvas NOTIFY canvasChanged)
    /// Its picture is kept for others that look the same. Not for what is animated: each of its frames would push a
    /// drawing out that is seen again.
    Q_PROPERTY(bool isShared MEMBER m_isShared NOTIFY canvasChanged)

public:
    explicit InkDrawing(QQuickItem* parent = nullptr);

    [[nodiscard]] QQmlListProperty<InkPath> paths();
    void paint(QPainter* painter) override;

signals:
    void canvasChanged();

private:
    static void append(QQmlListProperty<InkPath>* list, InkPath* path);
    [[nodiscard]] QByteArray svg() const;

    QList<InkPath*> m_paths;
    QRectF m_canvas{0, 0, 24, 24};
    bool m_isShared = true;
};

} // namespace discal::drawings

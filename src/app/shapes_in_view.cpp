#include "app/shapes_in_view.h"

#include <QQuickItem>
#include <QSGRendererInterface>

namespace discal::app {

namespace {

/// A shape that we have hidden; one that its page hides stays hidden.
constexpr const char* kHidden = "isOutOfView";

void look(QQuickItem* item, const QRectF& view) {
    const QRectF area = item->mapRectToScene(QRectF(0, 0, item->width(), item->height()));
    if (item->inherits("QQuickShape")) {
        const bool isInView = area.intersects(view);
        if (isInView ? item->property(kHidden).toBool() : item->isVisible()) {
            item->setProperty(kHidden, !isInView);
            item->setVisible(isInView);
        }
        return;
    }
    if (!item->isVisible())
        return;
    const QRectF inner = item->clip() ? view & area : view;
    for (QQuickItem* child : item->childItems())
        look(child, inner);
}

} // namespace

void keepShapesInView(QQuickWindow& window) {
    // Behind the layout of the frame, before its drawing
    QObject::connect(&window, &QQuickWindow::afterAnimating, &window, [&window] {
        if (window.rendererInterface()->graphicsApi() == QSGRendererInterface::Software)
            look(window.contentItem(), QRectF(0, 0, window.width(), window.height()));
    });
}

} // namespace discal::app

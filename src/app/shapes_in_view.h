#pragma once

#include <QQuickWindow>

namespace discal::app {

/// Before each frame of the software renderer, hides every drawn shape that lies wholly outside what clips it. That
/// renderer clips a shape by the part of it that is in view, and (Qt 6.4 at least) takes an empty part for no clip at
/// all: marks that had scrolled off a page were painted over the page bar. Other renderers need no help.
void keepShapesInView(QQuickWindow& window);

} // namespace discal::app

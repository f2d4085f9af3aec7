#pragma once

// The app on a screen that nobody sees: what is on it, by role and name, and taps.

#include "app/app.h"
#include "app/sample_phone.h"
#include "app/scenes.h"

#include <QGuiApplication>
#include <QQuickItem>
#include <QQuickWindow>
#include <QRectF>
#include <QString>
#include <vector>

namespace discal::tests {

/// The one application object; makes it, offscreen and with the software renderer, at the first call.
QGuiApplication& application();

/// Something that can be tapped or typed into, as a screen reader and a thumb meet it.
struct Target {
    QQuickItem* item{nullptr};
    QRectF area;  ///< in the window
    QString role;
    QString name;
    bool isText{false};
    bool isScrolled{false};  ///< lies on a page that is longer than the screen: its place is where she has scrolled to
};

/// All that can be tapped now: visible, enabled, and not behind another page.
[[nodiscard]] std::vector<Target> targetsIn(QQuickWindow* window);

/// Words on the screen whose end is cut off or in the next line, or that run out of the window.
[[nodiscard]] std::vector<QString> cutTextIn(QQuickWindow* window);

/// Words on the screen that lie over other words, or over something to tap that they are no part of.
[[nodiscard]] std::vector<QString> coveredTextIn(QQuickWindow* window);

/// All words on the screen.
[[nodiscard]] std::vector<QString> textsIn(QQuickWindow* window);

/// By accessible name; an error of the test when there is none.
[[nodiscard]] Target targetNamed(QQuickWindow* window, const QString& name);

/// The first list that is shown in `item`; null when there is none.
[[nodiscard]] QQuickItem* listIn(QQuickItem* item);

void tap(QQuickWindow* window, const Target& target);

} // namespace discal::tests

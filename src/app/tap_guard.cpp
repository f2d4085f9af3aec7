#include "app/tap_guard.h"

#include <QMouseEvent>
#include <QQuickItem>
#include <QTouchEvent>
#include <algorithm>
#include <utility>

namespace discal::app {

namespace {

/// The button that a tap would reach: what is drawn last lies on top.
const QQuickItem* buttonAt(const QQuickItem* item, QPointF scene) {
    if (!item->isVisible() || !item->isEnabled())
        return nullptr;
    const bool isInside = item->contains(item->mapFromScene(scene));
    if (item->clip() && !isInside)
        return nullptr;
    const auto children = item->childItems();
    auto byDepth = QList<QQuickItem*>(children.rbegin(), children.rend());
    std::stable_sort(byDepth.begin(), byDepth.end(), [](const auto* a, const auto* b) { return a->z() > b->z(); });
    for (const QQuickItem* child : byDepth)
        if (const QQuickItem* found = buttonAt(child, scene))
            return found;
    return isInside && item->inherits("QQuickAbstractButton") ? item : nullptr;
}

} // namespace

TapGuard::TapGuard(services::Clock& clock, QObject* parent)
    : QObject(parent), m_clock(clock), m_sinceUpMs(clock.now().upMs - kSettle.count()) {}

void TapGuard::follow(QQuickWindow& window) {
    window.installEventFilter(this);
    connect(&window, SIGNAL(pageChanged()), SLOT(changed()));
    connect(&window, SIGNAL(openedChanged()), SLOT(changed()));
    connect(&window, SIGNAL(openedWithChanged()), SLOT(changed()));
}

void TapGuard::changed() { m_sinceUpMs = m_clock.now().upMs; }

bool TapGuard::isSettling() const {
    const std::int64_t since = m_clock.now().upMs - m_sinceUpMs;
    // Less than nothing: another boot
    return since >= 0 && since < kSettle.count();
}

bool TapGuard::eventFilter(QObject* watched, QEvent* event) {
    const auto begins = [&](QPointF scene) {
        const QQuickItem* button =
            isSettling() ? buttonAt(static_cast<QQuickWindow*>(watched)->contentItem(), scene) : nullptr;
        m_isTaking = button != nullptr && !button->property("isPadKey").toBool();
        return m_isTaking;
    };
    switch (event->type()) {
    case QEvent::MouseButtonPress:
    case QEvent::MouseButtonDblClick:
        return begins(static_cast<QMouseEvent*>(event)->scenePosition());
    case QEvent::TouchBegin:
        return begins(static_cast<QTouchEvent*>(event)->points().constFirst().scenePosition());
    case QEvent::MouseMove:
    case QEvent::TouchUpdate:
        return m_isTaking;
    case QEvent::MouseButtonRelease:
    case QEvent::TouchEnd:
    case QEvent::TouchCancel:
        return std::exchange(m_isTaking, false);
    default:
        return QObject::eventFilter(watched, event);
    }
}

} // namespace discal::app

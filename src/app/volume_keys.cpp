#include "app/volume_keys.h"

#include <QGuiApplication>
#include <QKeyEvent>

namespace discal::app {

using viewmodels::TagPageModel;

VolumeKeys::VolumeKeys(TagPageModel& tag, const viewmodels::SettingsModel& settings, const TapGuard& taps,
                       QObject* parent)
    : QObject(parent), m_tag(tag), m_settings(settings), m_taps(taps) {}

void VolumeKeys::follow(QQuickWindow& window) { window.installEventFilter(this); }

bool VolumeKeys::areSexesShown(const QObject& window) const {
    return window.property("page").toInt() == 0 && window.property("opened").toString().isEmpty() &&
           (m_tag.stage() == TagPageModel::Ready || m_tag.stage() == TagPageModel::InHand);
}

bool VolumeKeys::eventFilter(QObject* watched, QEvent* event) {
    if (event->type() != QEvent::KeyPress && event->type() != QEvent::KeyRelease)
        return QObject::eventFilter(watched, event);
    const auto* key = static_cast<QKeyEvent*>(event);
    if ((key->key() != Qt::Key_VolumeUp && key->key() != Qt::Key_VolumeDown) || !m_settings.areVolumeKeysSexes() ||
        !areSexesShown(*watched))
        return QObject::eventFilter(watched, event);
    if (event->type() == QEvent::KeyPress && !key->isAutoRepeat() && !m_taps.isSettling()) {
        const bool isLeft = key->key() == Qt::Key_VolumeUp;
        const bool isMirrored = QGuiApplication::layoutDirection() == Qt::RightToLeft;
        m_tag.note(isLeft != isMirrored ? QStringLiteral("male") : QStringLiteral("female"));
    }
    return true;
}

} // namespace discal::app

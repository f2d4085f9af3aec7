#include "viewmodels/rest.h"

#include "core/time/instant.h"

#include <QEvent>
#include <algorithm>

namespace discal::viewmodels {

Rest::Rest(FieldPhone& phone, QObject* parent)
    : QObject(parent), m_phone(phone), m_copies(phone.journal(), phone.clock()),
      m_lastTouchUpMs(phone.clock().now().upMs), m_wasInSession(phone.session.current().has_value()) {
    m_timer.setSingleShot(true);
    connect(&m_timer, &QTimer::timeout, this, &Rest::look);
    connect(&m_phone, &FieldPhone::changed, this, [this] {
        m_isDue = true;
        const bool isInSession = m_phone.session.current().has_value();
        if (m_wasInSession && !isInSession)
            m_isEndCopyDue = true;
        m_wasInSession = isInSession;
        // Some commits come with no touch, such as lines of others.
        if (!m_isDown && !m_timer.isActive())
            wait(kQuiet);
    });
}

void Rest::wait(std::chrono::milliseconds quiet) {
    m_lastTouchUpMs = m_phone.clock().now().upMs;
    m_quiet = quiet;
    m_timer.start(quiet);
}

void Rest::begin() { wait(kAfterFirstFrame); }

void Rest::touchBegan() {
    m_isDown = true;
    m_timer.stop();
}

void Rest::touchEnded() {
    m_isDown = false;
    wait(kQuiet);
}

void Rest::applicationStateChanged(Qt::ApplicationState state) {
    m_isAway = state != Qt::ApplicationActive;
    if (!m_isAway)
        return;
    // The system takes what it had under the finger away, and says no release.
    m_isDown = false;
    // Behind a tap that may have caused it, such as one that opens a file of the system's.
    if (m_isDue)
        m_timer.start(0);
}

void Rest::look() {
    if (m_isDown || !m_isDue)
        return;
    if (m_isAway) {
        rest();
        return;
    }
    const auto inHand = m_phone.tagging.find(std::nullopt);
    const auto quiet = inHand && inHand->isOpen() ? std::max(m_quiet, kQuietInHand) : m_quiet;
    const std::chrono::milliseconds since(m_phone.clock().now().upMs - m_lastTouchUpMs);
    // Less than nothing: another boot, so the pause is not known.
    if (since < quiet && since.count() >= 0)
        m_timer.start(quiet - since);
    else
        rest();
}

void Rest::rest() {
    m_isDue = false;
    m_quiet = kQuiet;
    if (!m_phone.journal().idle())
        m_isDue = true;
    const auto made = m_isEndCopyDue ? m_copies.atSessionEnd() : m_copies.afterCommit();
    if (made)
        m_isEndCopyDue = false;
    else
        m_isDue = true;
    if (made)
        setTrouble({}, {});
    else
        tell(made.error());
    emit rested();
}

void Rest::tell(const Error& error) {
    const auto now = m_phone.clock().now();
    const auto newest = m_copies.newest();
    const QString since = newest ? tr("No safe copy since %1, %2.", "day, time of day")
                                       .arg(FieldPhone::dayText(time::formatUtc(*newest), now.offset.count()),
                                            FieldPhone::clockText(time::formatUtc(*newest), now.offset.count()))
                                 : tr("No safe copy yet.");
    setTrouble(since, error.code == Code::DiskFull
                          ? tr("All butterflies are saved, but this phone’s storage is full. Make room; Discal then "
                               "copies by itself.")
                          : tr("All butterflies are saved, but copying them failed. Discal tries again when it rests. "
                               "Until then, share the day to keep it elsewhere too."));
}

void Rest::setTrouble(const QString& line, const QString& advice) {
    if (line == m_copyTrouble && advice == m_copyAdvice)
        return;
    m_copyTrouble = line;
    m_copyAdvice = advice;
    emit copyTroubleChanged();
}

bool Rest::eventFilter(QObject* watched, QEvent* event) {
    switch (event->type()) {
    case QEvent::MouseButtonPress:
    case QEvent::TouchBegin:
        touchBegan();
        break;
    case QEvent::MouseButtonRelease:
    case QEvent::TouchEnd:
    case QEvent::TouchCancel:
    case QEvent::KeyRelease:
    case QEvent::Wheel:
        touchEnded();
        break;
    default:
        break;
    }
    return QObject::eventFilter(watched, event);
}

} // namespace discal::viewmodels

#pragma once

#include "services/safe_copies.h"
#include "viewmodels/field_phone.h"

#include <QObject>
#include <QTimer>

namespace discal::viewmodels {

/// What is done when nobody waits: commits move into the files (storage::Journal::idle), and a safe copy is made when one
/// is due. A moment after the first frame, when nothing was touched for a while, and when the app goes into the
/// background. Never inside a tap: not while a finger is down, and only from the event loop.
class Rest : public QObject {
    Q_OBJECT

public:
    explicit Rest(FieldPhone& phone, QObject* parent = nullptr);

    /// Our choice: longer than between two taps of one record, shorter than between two walks with the net.
    static constexpr std::chrono::milliseconds kQuiet{20'000};
    static constexpr std::chrono::milliseconds kAfterFirstFrame{2'000};
    /// With one in hand she is at work, also when she taps nothing. Unless she forgot to say what became of it.
    static constexpr std::chrono::milliseconds kQuietInHand{120'000};

    /// The first frame is on the screen.
    void begin();
    void touchBegan();
    void touchEnded();
    void applicationStateChanged(Qt::ApplicationState state);
    /// Rests if it is time to, else sets the timer for when it is. The timer calls this.
    void look();

    /// "No safe copy since 5 Sep, 10:42."; empty while all is well.
    [[nodiscard]] QString copyTrouble() const { return m_copyTrouble; }
    /// What is safe, and what to do about it.
    [[nodiscard]] QString copyAdvice() const { return m_copyAdvice; }
    [[nodiscard]] const services::SafeCopies& copies() const { return m_copies; }
    [[nodiscard]] const QTimer& timer() const { return m_timer; }

    /// Sees the touches of the window that it is installed on; takes none.
    bool eventFilter(QObject* watched, QEvent* event) override;

signals:
    void rested();
    void copyTroubleChanged();

private:
    void wait(std::chrono::milliseconds quiet);
    void rest();
    void setTrouble(const QString& line, const QString& advice);
    void tell(const Error& error);

    FieldPhone& m_phone;
    services::SafeCopies m_copies;
    QTimer m_timer;
    QString m_copyTrouble;
    QString m_copyAdvice;
    std::int64_t m_lastTouchUpMs{0};
    std::chrono::milliseconds m_quiet{kQuiet};
    bool m_isDown{false};
    bool m_isAway{false};
    bool m_isDue{true};
    bool m_wasInSession{false};
    bool m_isEndCopyDue{false};
};

} // namespace discal::viewmodels

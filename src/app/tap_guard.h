#pragma once

#include "services/ports/clock.h"

#include <QObject>
#include <QPointF>
#include <QQuickWindow>
#include <chrono>

namespace discal::app {

/// A control that has just appeared or changed its meaning takes no tap for 400 ms (ux.md, section 8): a finger that was
/// on its way to what stood there before must not write another line. The keys of a pad are exempt (`isPadKey`), and
/// what is no button: a list can be scrolled at once.
class TapGuard : public QObject {
    Q_OBJECT

public:
    explicit TapGuard(services::Clock& clock, QObject* parent = nullptr);

    static constexpr std::chrono::milliseconds kSettle{400};

    /// Watches the taps of this window, and its pages.
    void follow(QQuickWindow& window);

    /// Something changed less than kSettle ago.
    [[nodiscard]] bool isSettling() const;

public slots:
    /// Something else stands there now.
    void changed();

public:
    bool eventFilter(QObject* watched, QEvent* event) override;

private:
    services::Clock& m_clock;
    std::int64_t m_sinceUpMs;
    bool m_isTaking{false};
};

} // namespace discal::app

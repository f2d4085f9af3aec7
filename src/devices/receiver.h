#pragma once

#include "services/ports/clock.h"
#include "services/ports/position_source.h"

#include <QGeoPositionInfo>
#include <QGeoPositionInfoSource>
#include <QObject>
#include <QString>
#include <QTimer>
#include <deque>
#include <memory>

namespace discal::devices {

/// The phone's receiver through Qt Positioning. Fast from the first touch to the end of a record, slow between, off ten
/// minutes after the last (ux.md, section 3). Keeps the fixes of the last minutes and nothing older.
class Receiver : public QObject, public services::PositionSource {
    Q_OBJECT

public:
    /// `source`: null where the phone has none; then there are never fixes.
    Receiver(std::unique_ptr<QGeoPositionInfoSource> source, services::Clock& clock, QObject* parent = nullptr);

    [[nodiscard]] std::vector<place::Fix> fixesUntil(std::int64_t upMs) override;

    enum class Pace { Off, Slow, Fast };
    [[nodiscard]] Pace pace() const { return m_pace; }
    /// A record has begun, or somebody looks at the page: fast for a while.
    void wake();
    /// A record has ended: slow, and off ten minutes later.
    void rest();
    /// The system or the person refused: sites and typed places remain.
    [[nodiscard]] bool isRefused() const { return m_isRefused; }
    /// Milliseconds during which it ran fast, and at all, since the start; for the measurements.
    [[nodiscard]] std::int64_t fastMs() const;

signals:
    /// The system or the person refuses positions, or allows them again.
    void refusedChanged(bool isRefused);

private:
    void setPace(Pace pace);
    void setRefused(bool isRefused);
    void take(const QGeoPositionInfo& info);

    std::unique_ptr<QGeoPositionInfoSource> m_source;
    services::Clock& m_clock;
    std::deque<place::Fix> m_fixes;
    QTimer m_off;
    Pace m_pace{Pace::Off};
    std::int64_t m_fastSinceUpMs{0};
    std::int64_t m_fastMs{0};
    bool m_isRefused{false};
};

} // namespace discal::devices

#include "devices/receiver.h"

#include "core/place/averaging.h"

#include <QGeoCoordinate>
#include <chrono>
#include <cmath>

namespace discal::devices {

namespace {

constexpr int kFastMs = 1000;
constexpr int kSlowMs = 15'000;
constexpr int kOffAfterMs = 10 * 60 * 1000;

} // namespace

Receiver::Receiver(std::unique_ptr<QGeoPositionInfoSource> source, services::Clock& clock, QObject* parent)
    : QObject(parent), m_source(std::move(source)), m_clock(clock) {
    m_off.setSingleShot(true);
    m_off.setInterval(kOffAfterMs);
    connect(&m_off, &QTimer::timeout, this, [this] { setPace(Pace::Off); });
    if (!m_source)
        return;
    // Cells and networks know the town, not the meadow.
    m_source->setPreferredPositioningMethods(QGeoPositionInfoSource::SatellitePositioningMethods);
    connect(m_source.get(), &QGeoPositionInfoSource::positionUpdated, this, &Receiver::take);
    connect(m_source.get(), &QGeoPositionInfoSource::errorOccurred, this, [this](QGeoPositionInfoSource::Error error) {
        if (error == QGeoPositionInfoSource::AccessError)
            setRefused(true);
    });
}

void Receiver::setRefused(bool isRefused) {
    if (isRefused == m_isRefused)
        return;
    m_isRefused = isRefused;
    emit refusedChanged(isRefused);
}

std::vector<place::Fix> Receiver::fixesUntil(std::int64_t upMs) {
    std::vector<place::Fix> out;
    for (const place::Fix& fix : m_fixes)
        if (fix.upMs <= upMs && fix.upMs >= upMs - place::kWindowMs)
            out.push_back(fix);
    return out;
}

void Receiver::take(const QGeoPositionInfo& info) {
    setRefused(false);
    // Without its own accuracy a position has no uncertainty that we could state.
    if (!info.isValid() || !info.hasAttribute(QGeoPositionInfo::HorizontalAccuracy))
        return;
    const double accuracy = info.attribute(QGeoPositionInfo::HorizontalAccuracy);
    if (!(accuracy > 0) || accuracy * 1000 > static_cast<double>(place::kWholeEarthMm))
        return;
    place::Fix fix;
    fix.utc = time::Instant(std::chrono::milliseconds(info.timestamp().toUTC().toMSecsSinceEpoch()));
    fix.upMs = m_clock.now().upMs;
    fix.latE7 = static_cast<std::int32_t>(std::lround(info.coordinate().latitude() * 1e7));
    fix.lonE7 = static_cast<std::int32_t>(std::lround(info.coordinate().longitude() * 1e7));
    fix.accuracyMm = std::llround(accuracy * 1000);
    m_fixes.push_back(fix);
    while (!m_fixes.empty() && m_fixes.front().upMs < fix.upMs - 2 * place::kWindowMs)
        m_fixes.pop_front();
}

void Receiver::wake() {
    m_off.stop();
    setPace(Pace::Fast);
}

void Receiver::rest() {
    if (m_pace == Pace::Off)
        return;
    setPace(Pace::Slow);
    m_off.start();
}

void Receiver::setPace(Pace pace) {
    if (pace == m_pace || !m_source)
        return;
    const std::int64_t now = m_clock.now().upMs;
    if (m_pace == Pace::Fast)
        m_fastMs += now - m_fastSinceUpMs;
    if (pace == Pace::Fast)
        m_fastSinceUpMs = now;
    m_pace = pace;
    if (pace == Pace::Off) {
        m_source->stopUpdates();
        return;
    }
    m_source->setUpdateInterval(pace == Pace::Fast ? kFastMs : kSlowMs);
    m_source->startUpdates();
}

std::int64_t Receiver::fastMs() const {
    return m_fastMs + (m_pace == Pace::Fast ? m_clock.now().upMs - m_fastSinceUpMs : 0);
}

} // namespace discal::devices

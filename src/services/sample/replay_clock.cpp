#include "services/sample/replay_clock.h"

#include <utility>

namespace discal::services::sample {

ReplayClock::ReplayClock(std::string phone, time::Instant start, std::chrono::minutes offset,
                         std::optional<std::string> zone)
    : m_phone(std::move(phone)), m_now(start), m_bootedAt(start - kUpBefore), m_offset(offset),
      m_zone(std::move(zone)) {}

Moment ReplayClock::now() {
    return {m_now + m_skew, m_offset, m_zone, m_phone + "-" + std::to_string(m_boots),
            (m_now - m_bootedAt).count()};
}

void ReplayClock::setZone(std::chrono::minutes offset, std::optional<std::string> zone) {
    m_offset = offset;
    m_zone = std::move(zone);
}

void ReplayClock::reboot() {
    ++m_boots;
    m_bootedAt = m_now;
}

} // namespace discal::services::sample

#pragma once

#include "services/ports/clock.h"

#include <string>

namespace discal::services::sample {

/// A phone's clocks as the script drives them. The script knows the true time; the phone's wall clock is that
/// plus a skew, and its uptime runs on truly within a boot, whatever the wall clock does.
class ReplayClock final : public Clock {
public:
    /// The phone was started `kUpBefore` before `start`.
    ReplayClock(std::string phone, time::Instant start, std::chrono::minutes offset,
                std::optional<std::string> zone);

    [[nodiscard]] Moment now() override;

    /// True time; must not go back.
    void setTrueTime(time::Instant at) { m_now = at; }
    [[nodiscard]] time::Instant trueTime() const { return m_now; }
    /// How far the wall clock is ahead of the true time from now on.
    void setSkew(std::chrono::milliseconds ahead) { m_skew = ahead; }
    void setZone(std::chrono::minutes offset, std::optional<std::string> zone);
    /// Uptime begins anew, under another boot id.
    void reboot();
    /// True time at which uptime was 0.
    [[nodiscard]] time::Instant bootedAt() const { return m_bootedAt; }

    /// Our choice: long enough that no track begins before the boot.
    static constexpr std::chrono::hours kUpBefore{24};

private:
    std::string m_phone;
    time::Instant m_now;
    time::Instant m_bootedAt;
    std::chrono::milliseconds m_skew{0};
    std::chrono::minutes m_offset;
    std::optional<std::string> m_zone;
    int m_boots{1};
};

} // namespace discal::services::sample

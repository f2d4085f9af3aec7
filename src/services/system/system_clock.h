#pragma once

#include "services/ports/clock.h"

namespace discal::services {

/// The clocks of a Linux machine: the wall clock with the local offset, the IANA zone from TZ or the link
/// /etc/localtime (nothing when neither names one), and CLOCK_BOOTTIME, which runs on in sleep, within one
/// boot.
class SystemClock final : public Clock {
public:
    SystemClock();
    [[nodiscard]] Moment now() override;

private:
    std::optional<std::string> m_zone;
    std::string m_boot;
};

} // namespace discal::services

#pragma once

#include "core/time/instant.h"

#include <chrono>
#include <cstdint>
#include <optional>
#include <string>

namespace discal::services {

/// What the phone's clocks say at one moment. The wall clock may be wrong or jump; only `upMs` within one `boot` runs
/// evenly (CLOCK_BOOTTIME, mach_continuous_time). Neither decides the order of lines.
struct Moment {
    time::Instant wall{};
    std::chrono::minutes offset{0};   ///< local = wall + offset
    std::optional<std::string> zone;  ///< IANA
    std::string boot;
    std::int64_t upMs{0};
};

class Clock {
public:
    virtual ~Clock() = default;
    [[nodiscard]] virtual Moment now() = 0;
};

} // namespace discal::services

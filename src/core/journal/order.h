#pragma once

#include "core/journal/id.h"

#include <compare>
#include <cstdint>

namespace discal::journal {

/// Where a line stands among all lines of all devices: projections read them by (lamport, device, seq). No clock
/// decides anything.
struct Order {
    std::int64_t lamport{0};
    DeviceId device;
    std::int64_t seq{0};

    auto operator<=>(const Order&) const = default;
};

} // namespace discal::journal

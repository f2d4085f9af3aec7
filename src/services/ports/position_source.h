#pragma once

#include "core/place/position.h"

#include <span>
#include <vector>

namespace discal::services {

/// The receiver: what it has said lately. Empty without signal, permission or receiver; never an old fix as if new.
class PositionSource {
public:
    virtual ~PositionSource() = default;
    /// Fixes in order of arrival, at least those of the last two minutes before `upMs` (same boot).
    [[nodiscard]] virtual std::vector<place::Fix> fixesUntil(std::int64_t upMs) = 0;
};

/// For programs without a receiver.
class NoPositions final : public PositionSource {
public:
    [[nodiscard]] std::vector<place::Fix> fixesUntil(std::int64_t) override { return {}; }
};

} // namespace discal::services

#pragma once

#include "services/ports/position_source.h"
#include "services/sample/replay_clock.h"
#include "services/sample/seeded_randomness.h"

#include <cstdint>

namespace discal::services::sample {

/// A receiver in the hand of somebody who stands still: a few fixes that scatter about the spot.
class GeneratedPositions final : public PositionSource {
public:
    /// `clock` is borrowed and must outlive this.
    GeneratedPositions(const ReplayClock& clock, std::uint64_t seed)
        : m_clock(clock), m_randomness(seed, "positions") {}

    enum class Signal { None, Coarse, Good };
    void standAt(std::int32_t latE7, std::int32_t lonE7, Signal signal) {
        m_latE7 = latE7;
        m_lonE7 = lonE7;
        m_signal = signal;
    }

    [[nodiscard]] std::vector<place::Fix> fixesUntil(std::int64_t upMs) override;

private:
    const ReplayClock& m_clock;
    SeededRandomness m_randomness;
    std::int32_t m_latE7{0};
    std::int32_t m_lonE7{0};
    Signal m_signal{Signal::None};
};

} // namespace discal::services::sample

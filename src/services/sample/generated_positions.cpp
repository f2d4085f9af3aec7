#include "services/sample/generated_positions.h"

namespace discal::services::sample {

namespace {

/// Millimetres of 10^-7 degree at 43.5 degrees north, near enough for noise.
constexpr std::int64_t kNorthMm = 11;
constexpr std::int64_t kEastMm = 8;

} // namespace

std::vector<place::Fix> GeneratedPositions::fixesUntil(std::int64_t upMs) {
    std::vector<place::Fix> fixes;
    if (m_signal == Signal::None)
        return fixes;
    const bool isGood = m_signal == Signal::Good;
    const std::int64_t accuracyMm =
        isGood ? 3'000 + static_cast<std::int64_t>(m_randomness.below(7'000)) : 30'000;
    const auto count = static_cast<std::int64_t>(1 + m_randomness.below(6));
    for (std::int64_t i = count; i-- > 0;) {
        const std::int64_t heard = upMs - 1'000 - 5'000 * i;
        if (heard < 0)
            continue;
        fixes.push_back({m_clock.bootedAt() + time::milliseconds(heard), heard,
                         static_cast<std::int32_t>(m_latE7 + m_randomness.about0(accuracyMm / 2) / kNorthMm),
                         static_cast<std::int32_t>(m_lonE7 + m_randomness.about0(accuracyMm / 2) / kEastMm),
                         accuracyMm});
    }
    return fixes;
}

} // namespace discal::services::sample

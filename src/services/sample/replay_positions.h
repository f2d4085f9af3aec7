#pragma once

#include "core/result.h"
#include "services/ports/position_source.h"
#include "services/sample/replay_clock.h"

#include <string_view>
#include <vector>

namespace discal::services::sample {

/// Fixes of a track, by the receiver's own UTC. That is taken as the true time at which the phone got them.
using Track = std::vector<place::Fix>;

/// From the sentences of a receiver (NMEA 0183, see place/nmea.h). What is no sentence, or no fix, is passed
/// over, as it is with a live receiver; so are fixes that go back in time. `upMs` of the fixes is 0. BadInput
/// when no fix is left (detail), lest a wrong file pass for a day without signal.
[[nodiscard]] Result<Track> trackFromNmea(std::string_view bytes);

/// From a table with exactly the header "time,lat,lon,accuracy_m": RFC 3339, degrees, metres; times don't go
/// back. BadInput with the line in `number` and what is expected in `detail`.
[[nodiscard]] Result<Track> trackFromCsv(std::string_view bytes);

/// A phone's receiver that says what the track holds, when its time has come. A phone that was booted
/// meanwhile has heard nothing before.
class ReplayPositions final : public PositionSource {
public:
    /// `clock` is borrowed and must outlive this.
    ReplayPositions(const ReplayClock& clock, Track track) : m_clock(clock), m_track(std::move(track)) {}

    [[nodiscard]] std::vector<place::Fix> fixesUntil(std::int64_t upMs) override;

private:
    const ReplayClock& m_clock;
    Track m_track;
};

} // namespace discal::services::sample

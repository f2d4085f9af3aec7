#pragma once

#include "services/sample/replay_clock.h"
#include "services/sample/replay_positions.h"
#include "services/sample/seeded_randomness.h"
#include "viewmodels/field_phone.h"

#include <QElapsedTimer>
#include <QTemporaryDir>
#include <filesystem>
#include <memory>

namespace discal::app {

/// A sample day as clock and receiver, in which a person taps: the day begins when this is made and runs on as fast as
/// time does. Its journal is a sample in a temporary file, or in a new one that was named.
class SessionPhone {
public:
    /// `folder` has a session.jsonl (its header is read, its acts are not) and perhaps a track.nmea or fixes.csv.
    /// `journal`: a new file; Exists when there is one. Empty: a temporary one.
    [[nodiscard]] static Result<std::unique_ptr<SessionPhone>> open(const std::filesystem::path& folder,
                                                                    const std::filesystem::path& journal);

    [[nodiscard]] viewmodels::FieldPhone& phone() { return *m_phone; }
    [[nodiscard]] std::filesystem::path path() const { return m_path; }
    [[nodiscard]] const std::string& name() const { return m_name; }

private:
    /// True time runs from the session's start.
    class RunningClock final : public services::Clock {
    public:
        RunningClock(time::Instant start, std::chrono::minutes offset, std::optional<std::string> zone)
            : replayed("A", start, offset, std::move(zone)), m_start(start) {
            m_since.start();
        }
        [[nodiscard]] services::Moment now() override {
            replayed.setTrueTime(m_start + std::chrono::milliseconds(m_since.elapsed()));
            return replayed.now();
        }
        services::sample::ReplayClock replayed;

    private:
        time::Instant m_start;
        QElapsedTimer m_since;
    };

    SessionPhone(std::uint64_t seed, time::Instant start, std::chrono::minutes offset, std::optional<std::string> zone,
                 services::sample::Track track);

    QTemporaryDir m_folder;
    std::filesystem::path m_path;
    std::string m_name;
    services::sample::SeededRandomness m_randomness;
    services::sample::SeededRandomness m_keys;
    RunningClock m_clock;
    services::sample::ReplayPositions m_positions;
    std::unique_ptr<storage::Journal> m_journal;
    std::unique_ptr<viewmodels::FieldPhone> m_phone;
};

} // namespace discal::app

#pragma once

#include "services/sample/replay_clock.h"
#include "services/sample/replay_positions.h"
#include "services/sample/seeded_randomness.h"
#include "services/system/own_gazetteer.h"
#include "viewmodels/field_phone.h"

#include <QTemporaryDir>
#include <memory>

namespace discal::app {

/// An invented phone at Thistledown Ridge in a temporary folder, with a clock that stands until it is told to go on:
/// for pictures, the self-test and the tests of pages. A morning in the meadow is behind it.
class SamplePhone {
public:
    SamplePhone();
    /// In a folder that stays, for a program that ends and begins again: `seed` must be another each time, and `waited`
    /// is what the clock has gone on by before.
    SamplePhone(const QString& folder, std::uint64_t seed, std::chrono::milliseconds waited);

    [[nodiscard]] viewmodels::FieldPhone& phone() { return *m_phone; }
    /// Lets the clock go on.
    void wait(std::chrono::milliseconds time);
    /// The phone's own clock is set, so much ahead of the true time.
    void setClock(std::chrono::milliseconds ahead) { m_clock.setSkew(ahead); }
    /// By how much it has gone on.
    [[nodiscard]] std::chrono::milliseconds waited() const;
    /// Station, helpers, sites, a sheet of 25, and `count` butterflies noted and let go.
    void spendMorning(int count);

private:
    void open(const QString& folder);

    QTemporaryDir m_folder;
    services::OpenGazetteer m_places;
    services::sample::SeededRandomness m_randomness;
    services::sample::SeededRandomness m_keys;
    services::sample::ReplayClock m_clock;
    services::sample::ReplayPositions m_positions;
    std::unique_ptr<storage::Journal> m_journal;
    std::unique_ptr<viewmodels::FieldPhone> m_phone;
};

} // namespace discal::app

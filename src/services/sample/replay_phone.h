#pragma once

#include "services/amending.h"
#include "services/field_session.h"
#include "services/line_writer.h"
#include "services/sample/replay_clock.h"
#include "services/sample/replay_positions.h"
#include "services/sample/script.h"
#include "services/sample/seeded_randomness.h"
#include "services/station.h"
#include "services/stock.h"
#include "services/tagging.h"
#include "storage/journal.h"

#include <filesystem>
#include <functional>
#include <map>
#include <memory>
#include <optional>
#include <string>

namespace discal::services::sample {

/// The services of the app over one journal, joined as the app joins them.
struct PhoneServices {
    PhoneServices(storage::Journal& journal, Clock& clock, Randomness& randomness, PositionSource& positions)
        : writer(journal, clock, randomness), session(writer, positions), stock(writer),
          tagging(writer, session, stock), amending(writer, stock), station(writer) {}

    LineWriter writer;
    FieldSession session;
    Stock stock;
    Tagging tagging;
    Amending amending;
    Station station;
};

/// One phone of a sample session: its clocks, receiver, journal and services, all from the seed and the
/// script.
class ReplayPhone {
public:
    struct Setup {
        std::string name;
        std::filesystem::path journal;
        std::uint64_t seed{0};
        std::string session; ///< marks the journal as a sample
        time::Instant start{};
        std::chrono::minutes offset{0};
        std::optional<std::string> zone;
        Track track;
        const place::Gazetteer* names{nullptr};
        std::function<void(const SavedLine&)> onSaved;
    };
    explicit ReplayPhone(Setup setup);

    /// The first file that stands where this phone's journal, or a companion of it, would be.
    [[nodiscard]] static std::optional<std::filesystem::path>
    standsInTheWay(const std::filesystem::path& journal);

    /// Opens the journal, makes the services and picks up an open session.
    [[nodiscard]] Result<void> open();
    /// Line 1, unless it is written. `called` is the phone's name for people.
    [[nodiscard]] Result<Saved> ensureStarted(const std::string& called);
    /// The program ends and begins again, on a phone that was switched off and on.
    [[nodiscard]] Result<void> reboot();

    [[nodiscard]] const std::string& name() const { return m_setup.name; }
    [[nodiscard]] const std::filesystem::path& path() const { return m_setup.journal; }
    [[nodiscard]] storage::Journal& journal() { return *m_journal; }
    [[nodiscard]] PhoneServices& services() { return *m_services; }
    [[nodiscard]] ReplayClock& clock() { return m_clock; }

    /// The recorder, also after the program was started anew.
    void setRecorder(const journal::Uuid& person);
    /// Visitors of the day, by the number that this phone gave them.
    std::map<std::int64_t, journal::Uuid> visitors;

private:
    Setup m_setup;
    SeededRandomness m_randomness;
    SeededRandomness m_keys;
    ReplayClock m_clock;
    ReplayPositions m_positions;
    std::optional<journal::Uuid> m_recorder;
    std::unique_ptr<storage::Journal> m_journal;
    std::unique_ptr<PhoneServices> m_services; // before the journal goes
};

} // namespace discal::services::sample

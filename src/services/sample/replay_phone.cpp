#include "services/sample/replay_phone.h"

#include <system_error>
#include <utility>

namespace discal::services::sample {

ReplayPhone::ReplayPhone(Setup setup)
    : m_setup(std::move(setup)), m_randomness(m_setup.seed, "lines of " + m_setup.name),
      m_keys(m_setup.seed, "device " + m_setup.name),
      m_clock(m_setup.name, m_setup.start, m_setup.offset, m_setup.zone),
      m_positions(m_clock, std::move(m_setup.track)) {}

std::optional<std::filesystem::path> ReplayPhone::standsInTheWay(const std::filesystem::path& journal) {
    const storage::Place place(journal);
    for (const auto& path : {place.database, place.state(), place.lock(), place.key(), place.mark(),
                             place.reserve(), std::filesystem::path(place.database.string() + "-wal"),
                             std::filesystem::path(place.database.string() + "-shm")}) {
        std::error_code ec;
        if (std::filesystem::exists(std::filesystem::symlink_status(path, ec)))
            return path;
    }
    return std::nullopt;
}

Result<void> ReplayPhone::open() {
    storage::Journal::WriteOptions options;
    options.program = "discal sample";
    options.newSeed = [this] { return m_keys.bytes<32>(); };
    auto journal = storage::Journal::openForWriting(storage::Place(m_setup.journal), options);
    if (!journal)
        return fail(journal.error());
    m_journal = std::move(*journal);
    m_services = std::make_unique<PhoneServices>(*m_journal, m_clock, m_randomness, m_positions);
    m_services->writer.onSaved = m_setup.onSaved;
    m_services->writer.setRecorder(m_recorder);
    m_services->session.placeWords().setNames(m_setup.names);
    return m_services->session.resume();
}

Result<Saved> ReplayPhone::ensureStarted(const std::string& called) {
    // The program's name without its version: a sample's lines must not change with every release.
    return m_services->writer.ensureStarted({called, "discal", m_setup.session});
}

Result<void> ReplayPhone::reboot() {
    m_services.reset();
    m_journal.reset();
    m_clock.reboot();
    return open();
}

void ReplayPhone::setRecorder(const journal::Uuid& person) {
    m_recorder = person;
    m_services->writer.setRecorder(person);
}

} // namespace discal::services::sample

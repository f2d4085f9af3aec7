#include "app/sample_phone.h"

#include "services/system/system_clock.h"

#include <QtGlobal>

namespace discal::app {

namespace {

using namespace std::chrono_literals;

// 5 September 2026, 10:00 local time: the migration is on at 43.6 degrees north (science.md, 3).
constexpr const char* kStart = "2026-09-05T15:00:00.000Z";

template <class T>
T need(Result<T> result) {
    if (!result)
        qFatal("sample phone: error %d %s", static_cast<int>(result.error().code), result.error().detail.c_str());
    if constexpr (!std::is_void_v<T>)
        return std::move(*result);
}

time::Instant start() { return need(time::parseUtc(kStart)); }

/// A receiver that lies still in the meadow: a fix a second for some hours, three metres good.
services::sample::Track meadow() {
    services::sample::Track track;
    for (int s = -120; s < 4 * 3600; ++s) {
        place::Fix fix;
        fix.utc = start() + std::chrono::seconds(s);
        fix.latE7 = 435'571'000 + (s * 7) % 40;
        fix.lonE7 = -908'893'000 + (s * 11) % 40;
        fix.accuracyMm = 3000;
        track.push_back(fix);
    }
    return track;
}

} // namespace

SamplePhone::SamplePhone()
    : m_places(need(services::openOwn())),
      m_randomness(905, "lines of pictures"), m_keys(905, "device of pictures"),
      m_clock("A", start(), -300min, "America/Chicago"), m_positions(m_clock, meadow()) {
    open(m_folder.path());
}

SamplePhone::SamplePhone(const QString& folder, std::uint64_t seed, std::chrono::milliseconds waited)
    : m_places(need(services::openOwn())),
      m_randomness(seed, "lines of pictures"), m_keys(seed, "device of pictures"),
      m_clock("A", start() + waited, -300min, "America/Chicago"), m_positions(m_clock, meadow()) {
    open(folder);
    need(m_phone->resume());
}

void SamplePhone::open(const QString& folder) {
    storage::Journal::WriteOptions options;
    options.program = "discal sample";
    options.newSeed = [this] { return m_keys.bytes<32>(); };
    m_journal = need(storage::Journal::openForWriting(
        storage::Place(folder.toStdString() + "/sample.discal"), options));
    m_phone = std::make_unique<viewmodels::FieldPhone>(*m_journal, m_clock, m_randomness, m_positions);
    need(m_phone->writer.ensureStarted({"MH's phone", "discal", "pictures"}));
    m_phone->session.placeWords().setNames(&m_places.names);
}

void SamplePhone::wait(std::chrono::milliseconds time) { m_clock.setTrueTime(m_clock.trueTime() + time); }

std::chrono::milliseconds SamplePhone::waited() const { return m_clock.trueTime() - start(); }

void SamplePhone::spendMorning(int count) {
    need(m_phone->station.found("Thistledown Ridge Nature Centre"));
    const auto recorder = need(m_phone->station.person("MH"));
    m_phone->writer.setRecorder(recorder.id);
    need(m_phone->station.person("JT"));
    place::Position position;
    position.latE7 = 435'571'000;
    position.lonE7 = -908'893'000;
    position.uncertaintyMm = 15'000;
    position.origin = place::Position::Origin::Site;
    const auto meadowSite = need(m_phone->station.site({"Ridge meadow", position, 150'000}));
    need(m_phone->station.site({"Creek bottom", std::nullopt, 0}));
    need(m_phone->stock.receive({"RKD 001", 25, std::nullopt, 5}));
    m_phone->carryOver([&](auto& persisting) {
        persisting.site = meadowSite.id.text();
        persisting.origin = "wild";
    });
    for (int i = 0; i < count; ++i) {
        wait(4min);
        services::Tagging::Note note;
        note.sex = i % 3 == 1 ? "female" : "male";
        need(m_phone->tagging.note(note));
        wait(40s);
        if (i == 4)
            need(m_phone->tagging.spoiled(std::nullopt, std::nullopt));
        if (i % 4 == 3)
            need(m_phone->tagging.hold(std::nullopt, "Porch cage"));
        else
            need(m_phone->tagging.release(std::nullopt));
    }
    emit m_phone->changed();
}

} // namespace discal::app

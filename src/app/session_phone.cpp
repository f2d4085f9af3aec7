#include "app/session_phone.h"

#include "services/sample/replay_phone.h"
#include "services/sample/script.h"

#include <fstream>
#include <sstream>

namespace discal::app {

namespace fs = std::filesystem;
using services::sample::Track;

namespace {

Result<std::string> contentOf(const fs::path& path) {
    std::ifstream in(path, std::ios::binary);
    if (!in)
        return fail(Code::NotFound, path.string());
    std::ostringstream out;
    out << in.rdbuf();
    return out.str();
}

Result<Track> trackIn(const fs::path& folder) {
    if (fs::exists(folder / "track.nmea")) {
        const auto text = contentOf(folder / "track.nmea");
        return text ? services::sample::trackFromNmea(*text) : Result<Track>(fail(text.error()));
    }
    if (fs::exists(folder / "fixes.csv")) {
        const auto text = contentOf(folder / "fixes.csv");
        return text ? services::sample::trackFromCsv(*text) : Result<Track>(fail(text.error()));
    }
    return Track();
}

} // namespace

SessionPhone::SessionPhone(std::uint64_t seed, time::Instant start, std::chrono::minutes offset,
                           std::optional<std::string> zone, Track track)
    : m_randomness(seed, "lines of a played session"), m_keys(seed, "device of a played session"),
      m_clock(start, offset, std::move(zone)), m_positions(m_clock.replayed, std::move(track)) {}

Result<std::unique_ptr<SessionPhone>> SessionPhone::open(const fs::path& folder, const fs::path& journal) {
    const auto text = contentOf(folder / "session.jsonl");
    if (!text)
        return fail(text.error());
    const auto script = services::sample::parseScript(*text);
    if (!script)
        return fail(script.error());
    auto track = trackIn(folder);
    if (!track)
        return fail(track.error());
    std::unique_ptr<SessionPhone> session(
        new SessionPhone(script->seed, script->start, script->offset, script->zone, std::move(*track)));
    session->m_name = script->session;
    session->m_path =
        journal.empty() ? fs::path(session->m_folder.filePath(QStringLiteral("sample.discal")).toStdString()) : journal;
    if (const auto there = services::sample::ReplayPhone::standsInTheWay(session->m_path))
        return fail(Code::Exists, there->string());
    storage::Journal::WriteOptions options;
    options.program = "discal sample";
    options.newSeed = [keys = &session->m_keys] { return keys->bytes<32>(); };
    auto opened = storage::Journal::openForWriting(storage::Place(session->m_path), options);
    if (!opened)
        return fail(opened.error());
    session->m_journal = std::move(*opened);
    session->m_phone = std::make_unique<viewmodels::FieldPhone>(*session->m_journal, session->m_clock,
                                                                session->m_randomness, session->m_positions);
    if (auto started = session->m_phone->writer.ensureStarted({"phone A", "discal", script->session}); !started)
        return fail(started.error());
    return session;
}

} // namespace discal::app

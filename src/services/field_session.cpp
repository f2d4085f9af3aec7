#include "services/field_session.h"

#include "core/place/averaging.h"

namespace discal::services {

namespace json = boost::json;
using namespace std::chrono_literals;
using journal::Kind;
using journal::RecordType;
using journal::textIn;
using journal::Uuid;

namespace {

/// After such a pause a new spell of work begins. Our choice: longer than any lunch, shorter than a night.
constexpr auto kPause = 6h;

/// Where the file keeps what carries over, in its own words (do not change, part of the format on disk).
constexpr const char* kLocalName = "session";

std::string_view wordFor(FieldSession::Habit habit) {
    return habit == FieldSession::Habit::IntoCage ? "cage" : "let-go";
}

FieldSession::Habit habitIn(const json::object& object) {
    return textIn(object, "habit") == "cage" ? FieldSession::Habit::IntoCage : FieldSession::Habit::LetGo;
}

std::string keptForm(const Uuid& session, const FieldSession::Persisting& p) {
    return json::serialize(json::object{{"session", session.text()},
                                        {"site", p.site},
                                        {"origin", p.origin},
                                        {"tagger", p.tagger},
                                        {"cage", p.cage},
                                        {"habit", wordFor(p.habit)}});
}

void put(std::string& to, const json::object& from, std::string_view name) {
    if (const auto s = textIn(from, name))
        to = *s;
}

} // namespace

json::object toJson(const place::Position& p) {
    json::object out{{"lat_e7", p.latE7},
                     {"lon_e7", p.lonE7},
                     {"uncertainty_mm", p.uncertaintyMm},
                     {"datum", place::kDatum},
                     {"origin", place::wordFor(p.origin)}};
    if (p.origin == place::Position::Origin::Receiver) {
        out["fixes"] = p.fixCount;
        out["age_ms"] = p.ageMs;
        out["accuracy_mm"] = p.accuracyMm;
        if (p.receiverUtc)
            out["receiver_utc"] = time::formatUtc(*p.receiverUtc);
    }
    return out;
}

Result<void> FieldSession::resume() {
    const auto sessions = m_writer.journal().projections().openSessions();
    if (!sessions)
        return fail(sessions.error());
    const std::string device = m_writer.journal().device().text();
    const journal::Record* open = nullptr;
    for (const auto& session : *sessions)
        if (textIn(session.members, "device") == device && !session.members.contains("closed_at") &&
            (open == nullptr || open->last < session.last))
            open = &session;
    if (open == nullptr)
        return {};
    const auto id = journal::Uuid::parse(open->key);
    if (!id)
        return fail(id.error());
    m_current = *id;
    const auto isKept = resumeKept(open->key);
    if (!isKept)
        return fail(isKept.error());
    if (!*isKept)
        if (auto read = resumeFromLines(*open); !read)
            return read;
    if (const auto last =
            m_writer.journal().file().line(m_writer.journal().device(), m_writer.journal().head().seq);
        last && *last)
        if (const auto line = journal::parseLine(**last)) {
            m_lastWall = line->at;
            m_lastUpMs = line->upMs;
            m_lastBoot = line->boot;
        }
    return {};
}

Result<std::optional<Uuid>> FieldSession::latest() {
    if (m_current)
        return m_current;
    const auto kept = m_writer.journal().file().local(kLocalName);
    if (!kept)
        return fail(kept.error());
    boost::system::error_code failed;
    const auto value = json::parse(kept->value_or(""), failed);
    const auto id = !failed && value.is_object() ? textIn(value.as_object(), "session") : std::nullopt;
    const auto session = id ? Uuid::parse(*id) : Result<Uuid>(fail(Code::NotFound));
    if (session)
        return std::optional(*session);
    // A copy of another file, or one of before anything was kept: the sessions themselves tell.
    const auto sessions = m_writer.journal().projections().records(RecordType::Session);
    if (!sessions)
        return fail(sessions.error());
    const journal::Record* newest = nullptr;
    for (const auto& one : *sessions)
        if (newest == nullptr || newest->last < one.last)
            newest = &one;
    const auto found = newest != nullptr ? Uuid::parse(newest->key) : Result<Uuid>(fail(Code::NotFound));
    return found ? std::optional(*found) : std::nullopt;
}

Result<bool> FieldSession::resumeKept(const std::string& session) {
    const auto kept = m_writer.journal().file().local(kLocalName);
    if (!kept)
        return fail(kept.error());
    if (!*kept)
        return false;
    boost::system::error_code failed;
    const auto value = json::parse(**kept, failed);
    if (failed || !value.is_object() || textIn(value.as_object(), "session") != session)
        return false;
    const json::object& said = value.as_object();
    Persisting persisting;
    put(persisting.site, said, "site");
    put(persisting.origin, said, "origin");
    put(persisting.tagger, said, "tagger");
    put(persisting.cage, said, "cage");
    persisting.habit = habitIn(said);
    m_persisting = std::move(persisting);
    m_kept = **kept;
    return true;
}

/// A session that was opened before anything was kept of it: what was said last, butterfly by butterfly,
/// carries over.
Result<void> FieldSession::resumeFromLines(const journal::Record& session) {
    put(m_persisting.site, session.members, "site");
    put(m_persisting.origin, session.members, "origin");
    put(m_persisting.cage, session.members, "cage");
    m_persisting.habit = habitIn(session.members);
    const auto butterflies = m_writer.journal().projections().butterfliesOfSession(session.key);
    if (!butterflies)
        return fail(butterflies.error());
    std::int64_t lamport = 0;
    for (const auto& b : *butterflies) {
        if (b.last.lamport < lamport)
            continue;
        lamport = b.last.lamport;
        if (!b.origin.empty())
            m_persisting.origin = b.origin;
        m_persisting.tagger = b.tagger;
        if (!b.cage.empty())
            m_persisting.cage = b.cage;
        for (const auto* place : {&b.released, &b.taken})
            if (const auto site = textIn(*place, "site")) {
                m_persisting.site = *site;
                break;
            }
    }
    return {};
}

Result<void> FieldSession::carry(Persisting persisting) {
    m_persisting = std::move(persisting);
    if (!m_current)
        return {};
    std::string kept = keptForm(*m_current, m_persisting);
    if (kept == m_kept)
        return {};
    if (auto saved = m_writer.journal().file().setLocal(kLocalName, kept); !saved)
        return saved;
    m_kept = std::move(kept);
    return {};
}

Result<Uuid> FieldSession::ensureOpen(LineWriter::Commit& commit, const Persisting& persisting) {
    const Moment now = commit.moment();
    std::optional<Uuid> session = m_current;
    if (session) {
        if (pauseUntil(now).value_or(0ms) > kPause) {
            json::object body{{"inferred", true}, {"latest", time::formatUtc(now.wall)}};
            commit.newAct();
            commit.add(Kind::SessionClosed, {*session}, std::move(body));
            session.reset();
        }
    }
    if (!session) {
        session = commit.newId();
        json::object body{{"habit", wordFor(persisting.habit)}};
        if (!persisting.site.empty())
            body["site"] = persisting.site;
        if (!persisting.origin.empty())
            body["origin"] = persisting.origin;
        if (!persisting.cage.empty())
            body["cage"] = persisting.cage;
        commit.newAct();
        commit.add(Kind::SessionOpened, {*session}, std::move(body));
        commit.newAct();
    }
    std::string kept = keptForm(*session, persisting);
    if (kept != m_kept)
        commit.keepLocal(kLocalName, kept);
    // A tap that is refused or can't be saved opens nothing, and nothing carries over from it.
    commit.whenSaved([this, session, now, persisting, kept = std::move(kept)] {
        m_current = session;
        m_persisting = persisting;
        m_kept = kept;
        m_lastWall = now.wall;
        m_lastUpMs = now.upMs;
        m_lastBoot = now.boot;
    });
    return *session;
}

Result<Saved> FieldSession::close(const Effort& effort) {
    if (!m_current)
        return fail(Code::NothingToDo, "no session is open");
    auto commit = m_writer.begin();
    json::object body;
    if (effort.minutes)
        body["effort_min"] = *effort.minutes;
    if (effort.people)
        body["people"] = *effort.people;
    if (!effort.note.empty()) {
        auto kept = commit.keep(effort.note);
        if (!kept)
            return fail(kept.error());
        body["note"] = std::move(*kept);
    }
    commit.add(Kind::SessionClosed, {*m_current}, std::move(body));
    auto saved = commit.save();
    if (saved) {
        m_current.reset();
        m_typed.reset();
    }
    return saved;
}

std::optional<std::chrono::milliseconds> FieldSession::pauseUntil(const Moment& now) const {
    if (!m_current)
        return std::nullopt;
    return now.boot == m_lastBoot ? std::chrono::milliseconds(now.upMs - m_lastUpMs) : now.wall - m_lastWall;
}

std::optional<place::Position> FieldSession::positionNow(const Moment& moment) {
    auto average = place::average(m_positions.fixesUntil(moment.upMs), moment.upMs);
    if (average && !place::isUsableForPlace(*average))
        average.reset();
    return average;
}

Result<json::object> FieldSession::placeNow(const Moment& moment) {
    json::object place;
    if (!m_persisting.site.empty())
        place["site"] = m_persisting.site;
    if (m_typed) {
        if (!place::isLegal(*m_typed))
            return fail(Code::NotAPosition);
        place["position"] = toJson(*m_typed);
    } else if (const auto average = place::average(m_positions.fixesUntil(moment.upMs), moment.upMs)) {
        const bool answers = place::isUsableForPlace(*average) || m_persisting.site.empty();
        place[answers ? "position" : "fix"] = toJson(*average);
    }
    m_placeWords.addTo(place);
    return place;
}

} // namespace discal::services

#include "services/field_session.h"

#include "core/place/averaging.h"

namespace discal::services {

namespace json = boost::json;
using journal::Kind;
using journal::RecordType;
using journal::textIn;

namespace {

/// After such a pause a new spell of work begins. Our choice: longer than any lunch, shorter than a night.
constexpr std::int64_t kPauseMs = 6LL * 60 * 60 * 1000;

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
    const auto sessions = m_writer.journal().projections().records(RecordType::Session);
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
    const auto put = [&](std::string& to, std::string_view name) {
        if (const auto s = textIn(open->members, name))
            to = *s;
    };
    put(m_persisting.site, "site");
    put(m_persisting.origin, "origin");
    put(m_persisting.cage, "cage");
    m_persisting.habit = textIn(open->members, "habit") == "cage" ? Habit::IntoCage : Habit::LetGo;
    const auto butterflies = m_writer.journal().projections().butterfliesOfSession(open->key);
    if (!butterflies)
        return fail(butterflies.error());
    // What was said last, butterfly by butterfly, carries over.
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
    if (const auto last = m_writer.journal().file().line(m_writer.journal().device(), m_writer.journal().head().seq);
        last && *last)
        if (const auto line = journal::parseLine(**last)) {
            m_lastWall = line->at;
            m_lastUpMs = line->upMs;
            m_lastBoot = line->boot;
        }
    return {};
}

Result<journal::Uuid> FieldSession::ensureOpen(LineWriter::Commit& commit) {
    const Moment now = commit.moment();
    std::optional<journal::Uuid> session = m_current;
    if (session) {
        const std::int64_t pause =
            now.boot == m_lastBoot ? now.upMs - m_lastUpMs : (now.wall - m_lastWall).count();
        if (pause > kPauseMs) {
            json::object body{{"inferred", true}, {"latest", time::formatUtc(now.wall)}};
            commit.newAct();
            commit.add(Kind::SessionClosed, {*session}, std::move(body));
            session.reset();
        }
    }
    if (!session) {
        session = commit.newId();
        json::object body{{"habit", m_persisting.habit == Habit::IntoCage ? "cage" : "let-go"}};
        if (!m_persisting.site.empty())
            body["site"] = m_persisting.site;
        if (!m_persisting.origin.empty())
            body["origin"] = m_persisting.origin;
        if (!m_persisting.cage.empty())
            body["cage"] = m_persisting.cage;
        commit.newAct();
        commit.add(Kind::SessionOpened, {*session}, std::move(body));
        commit.newAct();
    }
    // A tap that is refused or can't be saved opens nothing.
    commit.whenSaved([this, session, now] {
        m_current = session;
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
    if (saved)
        m_current.reset();
    return saved;
}

Result<json::object> FieldSession::placeNow(const Moment& moment) {
    json::object place;
    if (m_typed) {
        if (!place::isLegal(*m_typed))
            return fail(Code::NotAPosition);
        if (!m_persisting.site.empty())
            place["site"] = m_persisting.site;
        place["position"] = toJson(*m_typed);
        return place;
    }
    const auto fixes = m_positions.fixesUntil(moment.upMs);
    const auto average = place::average(fixes, moment.upMs);
    if (!m_persisting.site.empty())
        place["site"] = m_persisting.site;
    if (!average)
        return place;
    if (place::isUsableForPlace(*average) || m_persisting.site.empty())
        place["position"] = toJson(*average);
    else
        place["fix"] = toJson(*average);
    return place;
}

} // namespace discal::services

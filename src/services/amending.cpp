#include "services/amending.h"

#include "core/journal/subjects.h"
#include "services/field_session.h"

#include <algorithm>

namespace discal::services {

namespace json = boost::json;
using journal::Kind;
using journal::Uuid;

namespace {

bool canBeTakenBack(Kind kind) {
    switch (kind) {
    case Kind::DeviceStarted:
    case Kind::DeviceEnrolled:
    case Kind::StationFounded:
    case Kind::SessionOpened:
    case Kind::EntryWithdrawn:
    case Kind::BlobErased:
    case Kind::Unknown:
        return false;
    default:
        return true;
    }
}

/// Those that whoever corrects has seen: all that stand now, also those at odds.
std::vector<Uuid> seenIn(const journal::Amended& amended) {
    std::vector<Uuid> over = amended.appliedCorrections;
    for (const auto& odds : amended.atOdds)
        over.insert(over.end(), odds.corrections.begin(), odds.corrections.end());
    std::sort(over.begin(), over.end());
    over.erase(std::unique(over.begin(), over.end()), over.end());
    return over;
}

json::object correction(const journal::Amended& of, std::string_view field, json::value value,
                        const std::string& why) {
    return {{"of", of.line.id.text()},
            {"set", json::object{{field, std::move(value)}}},
            {"over", journal::idsToJson(seenIn(of))},
            {"why", why}};
}

/// A line's body with `field` said anew.
json::object withField(const json::object& body, std::string_view field, const json::value& value) {
    json::object out = body;
    if (field != "at" && field != "offset_min")
        out[field] = value;
    return out;
}

} // namespace

Result<Amending::Target> Amending::targetOf(const Uuid& line, const std::string& field) {
    auto& projections = m_writer.journal().projections();
    const auto entries = projections.linesWithId(line);
    if (!entries)
        return fail(entries.error());
    if (entries->empty())
        return fail(Code::NotFound, "line " + line.text());
    auto amended = projections.amendedLine(entries->front());
    if (!amended)
        return fail(amended.error());
    if (amended->isNewer)
        return fail(Code::NotAllowed, "that line needs a newer Discal");
    const auto fields = journal::correctableOf(amended->kind);
    if (fields.empty())
        return fail(Code::NotAllowed, "nothing of a line " + amended->line.kind + " is said anew");
    const auto* correctable = journal::correctable(amended->kind, field);
    if (correctable == nullptr) {
        std::string names;
        for (const auto& f : fields)
            names += (names.empty() ? "" : ", ") + std::string(f.field);
        return fail(Code::BadInput, "one of these fields: " + names);
    }
    return Target{std::move(*amended), correctable};
}

Result<void> Amending::addInferred(LineWriter::Commit& commit, const journal::Amended& noted,
                                   std::string_view field, const json::value& value, const std::string& why) {
    if (noted.kind != Kind::ButterflyNoted || noted.line.about.empty() || (field != "at" && field != "taken"))
        return {};
    auto& projections = m_writer.journal().projections();
    const auto lines = projections.linesOfSubject(noted.line.about.front().text());
    if (!lines)
        return fail(lines.error());
    const auto* taken = noted.line.body.if_contains("taken");
    for (const auto& entry : *lines) {
        const Kind kind = entry.line ? journal::kindOf(entry.line->kind) : Kind::Unknown;
        if (kind != Kind::ButterflyReleased && kind != Kind::ButterflyHeld)
            continue;
        const auto closing = projections.amendedLine(entry);
        if (!closing)
            return fail(closing.error());
        const json::object& body = closing->line.body;
        if (closing->isWithdrawn || closing->isNewer || !journal::claimIn(body, "inferred").value_or(false))
            continue;
        if (field == "at") {
            if (journal::textIn(body, "earliest") == time::formatUtc(noted.line.at))
                commit.add(Kind::EntryCorrected, {}, correction(*closing, "earliest", value, why));
            continue;
        }
        const auto* place = body.if_contains("place");
        const bool isSame = taken != nullptr && place != nullptr && *taken == *place;
        // Where none was known none was taken over; a reared one was let go elsewhere than it was found.
        const bool isNowhere =
            taken == nullptr && place == nullptr && journal::textIn(noted.line.body, "origin") != "reared";
        if (kind == Kind::ButterflyReleased && (isSame || isNowhere))
            commit.add(Kind::EntryCorrected, {}, correction(*closing, "place", value, why));
    }
    return {};
}

Result<Saved> Amending::say(const Target& target, json::value value, const std::string& why) {
    const std::string_view field = target.field->field;
    if (auto ok = journal::checkCorrected(*target.field, value); !ok)
        return fail(ok.error());
    if (auto ok =
            journal::checkCorrectedBody(target.line.kind, withField(target.line.line.body, field, value));
        !ok)
        return fail(ok.error());
    auto commit = m_writer.begin();
    m_stock.lookAgain();
    commit.add(Kind::EntryCorrected, {}, correction(target.line, field, value, why));
    if (auto added = addInferred(commit, target.line, field, value, why); !added)
        return fail(added.error());
    return commit.save();
}

Result<Saved> Amending::correct(const Uuid& line, const std::string& field, const std::string& value,
                                const std::string& why) {
    const auto target = targetOf(line, field);
    if (!target)
        return fail(target.error());
    std::string typed = value;
    if (target->field->value == journal::Correctable::Value::Code) {
        const auto code = m_stock.read(value);
        if (!code)
            return fail(code.error());
        typed = code->code.text();
    }
    auto said = journal::correctedValue(*target->field, typed);
    if (!said)
        return fail(said.error());
    return say(*target, std::move(*said), why);
}

Result<Saved> Amending::correctPlace(const Uuid& line, const std::string& field, const Where& where,
                                     const std::string& why, PlaceWords* words) {
    const auto target = targetOf(line, field);
    if (!target)
        return fail(target.error());
    json::object place;
    if (where.site) {
        const auto site =
            m_writer.journal().projections().record(journal::RecordType::Site, where.site->text());
        if (!site)
            return fail(site.error());
        if (!*site)
            return fail(Code::NotFound, "site " + where.site->text());
        place["site"] = where.site->text();
    }
    if (where.position) {
        if (!place::isLegal(*where.position))
            return fail(Code::NotAPosition);
        place["position"] = toJson(*where.position);
    }
    if (words != nullptr)
        words->addTo(place);
    return say(*target, std::move(place), why);
}

Result<Saved> Amending::withdraw(const Uuid& act, const std::string& why) {
    const auto lines = m_writer.journal().projections().linesOfAct(act);
    if (!lines)
        return fail(lines.error());
    if (lines->empty())
        return fail(Code::NotFound, "act " + act.text());
    auto commit = m_writer.begin();
    m_stock.lookAgain();
    commit.add(Kind::EntryWithdrawn, {}, {{"act", act.text()}, {"over", json::array()}, {"why", why}});
    return commit.save();
}

Result<std::optional<Uuid>> Amending::lastAct() {
    auto& journal = m_writer.journal();
    for (std::int64_t seq = journal.head().seq; seq > 0; --seq) {
        auto bytes = journal.file().line(journal.device(), seq);
        if (!bytes)
            return fail(bytes.error());
        if (!*bytes)
            break;
        const auto entry = journal::makeEntry(journal.device(), seq, std::move(**bytes));
        if (!entry.line || !canBeTakenBack(journal::kindOf(entry.line->kind)))
            continue;
        const auto amended = journal.projections().amendedLine(entry);
        if (!amended)
            return fail(amended.error());
        if (!amended->isWithdrawn)
            return std::optional(entry.line->act);
    }
    return std::optional<Uuid>();
}

Result<Saved> Amending::erasePerson(const Uuid& person, const std::string& why) {
    auto& journal = m_writer.journal();
    auto& projections = journal.projections();
    if (!projections.roles().station().empty() &&
        projections.roles().now(journal.device()) != station::Role::Office)
        return fail(Code::NotAllowed, "an office device of the station erases");
    const auto named = projections.linesOfSubject(person.text());
    if (!named)
        return fail(named.error());
    std::vector<std::string> blobs;
    const auto cite = [&](const json::object& body, std::string_view member) {
        if (const auto blob = journal::blobIn(body, member))
            blobs.emplace_back(*blob);
    };
    for (const auto& entry : *named)
        if (entry.line)
            cite(entry.line->body, "initials");
    if (blobs.empty())
        return fail(Code::NotFound, "person " + person.text());
    const auto chains = journal.file().chains();
    if (!chains)
        return fail(chains.error());
    for (const auto& chain : *chains) {
        const auto visited = journal.file().visit(chain.device, 1, [&](std::int64_t, std::string_view bytes, const auto&) {
            if (bytes.find(person.text()) == std::string_view::npos)
                return true;
            if (const auto line = journal::parseLine(bytes); line && line->by == person)
                for (const std::string_view member : {"note", "text"})
                    cite(line->body, member);
            return true;
        });
        if (!visited)
            return fail(visited.error());
    }
    std::sort(blobs.begin(), blobs.end());
    blobs.erase(std::unique(blobs.begin(), blobs.end()), blobs.end());
    auto commit = m_writer.begin();
    for (const std::string& blob : blobs)
        commit.add(Kind::BlobErased, {}, {{"blob", blob}, {"why", why}});
    return commit.save();
}

Result<Saved> Amending::settle(const std::string& doubtKey, const std::string& choice, const std::string& why) {
    auto& projections = m_writer.journal().projections();
    if (projections.roles().now(m_writer.journal().device()) != station::Role::Office)
        return fail(Code::NotAllowed, "an office device of the station settles doubts");
    const auto doubts = projections.doubts();
    if (!doubts)
        return fail(doubts.error());
    for (const auto& d : *doubts) {
        if (d.doubt.key() != doubtKey)
            continue;
        std::vector<Uuid> over;
        const auto earlier = projections.linesOfSubject(journal::doubtSubject(doubtKey));
        if (!earlier)
            return fail(earlier.error());
        for (const auto& entry : *earlier)
            if (entry.line)
                over.push_back(entry.line->id);
        auto commit = m_writer.begin();
        commit.add(Kind::DoubtSettled, {},
                   {{"key", doubtKey},
                    {"evidence", journal::idsToJson(d.doubt.evidence)},
                    {"choice", choice},
                    {"why", why},
                    {"over", journal::idsToJson(over)}});
        return commit.save();
    }
    return fail(Code::NotFound, "doubt " + doubtKey);
}

} // namespace discal::services

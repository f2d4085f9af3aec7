#include "services/tagging.h"

#include <algorithm>
#include <array>
#include <set>

namespace discal::services {

namespace json = boost::json;
using butterfly::Butterfly;
using butterfly::Carried;
using butterfly::Fate;
using journal::Kind;
using journal::Uuid;

namespace {

template <std::size_t N>
Result<void> oneOf(std::string_view value, const std::array<std::string_view, N>& words, std::string_view what) {
    if (std::find(words.begin(), words.end(), value) != words.end())
        return {};
    std::string legal(what);
    legal += ": one of";
    for (const auto word : words)
        legal += " " + std::string(word);
    return fail(Code::BadInput, legal);
}

constexpr std::array<std::string_view, 3> kSexes{"female", "male", "unknown"};
constexpr std::array<std::string_view, 3> kOrigins{"wild", "reared", ""};
constexpr std::array<std::string_view, 4> kMarks{"readable", "worn", "unreadable", "gone"};
constexpr std::array<std::string_view, 2> kWhys{"hurt", "worn"};

bool isHere(const Butterfly& b) { return b.fate == Fate::Noted || b.fate == Fate::Held; }

} // namespace

LineWriter::Commit Tagging::begin() {
    auto commit = m_writer.begin();
    m_session.spendTypedPosition(commit);
    return commit;
}

Result<tag::Parsed> Tagging::nextOr(const std::optional<std::string>& typed) {
    if (typed)
        return m_stock.read(*typed);
    const auto next = m_stock.nextFree();
    if (!next)
        return fail(next.error());
    if (!*next)
        return fail(Code::NotFound, "a free tag on this device");
    return tag::Parsed{**next, false};
}

Result<void> Tagging::addMeasures(LineWriter::Commit& commit, json::object& body, const Measures& m) {
    // Odd values are kept and doubted later; only what can't be a length or a scale is refused.
    if (m.forewingUm) {
        if (*m.forewingUm < 1000 || *m.forewingUm > 200'000)
            return fail(Code::OutOfRange, "forewing: 1 to 200 mm");
        body["forewing_um"] = *m.forewingUm;
    }
    if (m.wear) {
        const bool isOneToFive = m.wearScale == "1-5" && *m.wear >= 1 && *m.wear <= 5;
        const bool isZeroToFour = m.wearScale == "0-4" && *m.wear >= 0 && *m.wear <= 4;
        if (!isOneToFive && !isZeroToFour)
            return fail(Code::OutOfRange, "wear: 1 to 5 on scale 1-5, or 0 to 4 on scale 0-4");
        body["wear"] = *m.wear;
        body["wear_scale"] = m.wearScale;
    }
    if (m.mated)
        body["mated"] = *m.mated;
    if (!m.parasiteSample.empty())
        body["parasite_sample"] = m.parasiteSample;
    if (!m.note.empty()) {
        auto kept = commit.keep(m.note);
        if (!kept)
            return fail(kept.error());
        body["note"] = std::move(*kept);
    }
    return {};
}

Result<void> Tagging::addRead(LineWriter::Commit& commit, json::object& body, const std::optional<CodeRead>& read) {
    if (!read)
        return {};
    if (read->perMille < 0 || read->perMille > 1000)
        return fail(Code::OutOfRange, "read_per_mille: 0 to 1000");
    if (read->picture.size() > CodeRead::kMostPictureBytes)
        return fail(Code::OutOfRange, "picture: at most 64 KiB");
    body["read_per_mille"] = read->perMille;
    if (!read->picture.empty()) {
        auto kept = commit.keep(read->picture);
        if (!kept)
            return fail(kept.error());
        body["picture"] = std::move(*kept);
    }
    return {};
}

Result<void> Tagging::addPlace(LineWriter::Commit& commit, json::object& body, std::string_view member) {
    auto place = m_session.placeNow(commit.moment());
    if (!place)
        return fail(place.error());
    if (!place->empty())
        body[member] = std::move(*place);
    return {};
}

Result<void> Tagging::closeOpen(LineWriter::Commit& commit, const std::optional<Uuid>& unless) {
    const auto open = m_writer.journal().projections().butterfliesWithFate(Fate::Noted);
    if (!open)
        return fail(open.error());
    for (const Butterfly& b : *open) {
        if (b.device != m_writer.journal().device().text() || b.id == unless)
            continue;
        json::object body{{"inferred", true},
                          {"earliest", b.notedAt},
                          {"latest", time::formatUtc(commit.moment().wall)}};
        if (m_session.persisting().habit == FieldSession::Habit::IntoCage) {
            body["cage"] = m_session.persisting().cage;
            commit.add(Kind::ButterflyHeld, {b.id}, std::move(body));
        } else {
            // It was let go where it was noted, as far as anybody knows; where we are now says nothing of it.
            if (!b.taken.empty())
                body["place"] = b.taken;
            commit.add(Kind::ButterflyReleased, {b.id}, std::move(body));
        }
    }
    return {};
}

Result<Tagging::Noted> Tagging::note(const Note& note) {
    if (auto ok = oneOf(note.sex, kSexes, "sex"); !ok)
        return fail(ok.error());
    if (auto ok = oneOf(note.origin, kOrigins, "origin"); !ok)
        return fail(ok.error());
    const auto code = nextOr(note.code);
    if (!code)
        return fail(code.error());
    auto persisting = m_session.persisting();
    if (!note.origin.empty())
        persisting.origin = note.origin;
    if (!note.tagger.empty())
        persisting.tagger = note.tagger;

    auto commit = begin();
    const auto session = m_session.ensureOpen(commit, persisting);
    if (!session)
        return fail(session.error());
    if (auto closed = closeOpen(commit, std::nullopt); !closed)
        return fail(closed.error());
    json::object body{{"code", code->code.text()}, {"sex", note.sex}, {"session", session->text()}};
    if (!persisting.origin.empty())
        body["origin"] = persisting.origin;
    if (!persisting.tagger.empty())
        body["tagger"] = persisting.tagger;
    if (!note.lot.empty())
        body["lot"] = note.lot;
    if (auto measured = addMeasures(commit, body, note.measures); !measured)
        return fail(measured.error());
    if (auto read = addRead(commit, body, note.read); !read)
        return fail(read.error());
    // A wild one was taken here; where a reared one was found is its lot's to say.
    if (persisting.origin != "reared")
        if (auto placed = addPlace(commit, body, "taken"); !placed)
            return fail(placed.error());
    const Uuid id = commit.newId();
    const Uuid line = commit.add(Kind::ButterflyNoted, {id}, std::move(body));
    auto saved = commit.save();
    if (!saved)
        return fail(saved.error());
    m_stock.wentOnFrom(code->code);
    auto doubts = m_writer.journal().projections().marksOf(line);
    return Noted{std::move(*saved), id, code->code, code->repaired,
                 doubts ? std::move(*doubts) : std::vector<std::string>()};
}

Result<Butterfly> Tagging::find(const std::optional<std::string>& which) {
    auto& projections = m_writer.journal().projections();
    if (!which) {
        const auto open = projections.butterfliesWithFate(Fate::Noted);
        if (!open)
            return fail(open.error());
        const Butterfly* ours = nullptr;
        for (const Butterfly& b : *open)
            if (b.device == m_writer.journal().device().text() && (ours == nullptr || ours->last < b.last))
                ours = &b;
        if (ours == nullptr)
            return fail(Code::NotFound, "an open butterfly");
        return *ours;
    }
    if (const auto id = Uuid::parse(*which)) {
        const auto b = projections.butterfly(id->text());
        if (!b)
            return fail(b.error());
        if (!*b)
            return fail(Code::NotFound, *which);
        return **b;
    }
    const auto code = m_stock.read(*which);
    if (!code)
        return fail(code.error());
    const auto carriers = projections.butterfliesWith(code->code.text());
    if (!carriers)
        return fail(carriers.error());
    std::vector<Butterfly> on;
    for (const Butterfly& b : *carriers)
        for (const Carried& c : b.codes)
            if (c.code == code->code.text() && (c.bond == Carried::Bond::On || c.bond == Carried::Bond::Seen))
                on.push_back(b);
    if (on.empty())
        return fail(Code::NotFound, "a butterfly with " + code->code.text());
    std::vector<Butterfly> here;
    std::copy_if(on.begin(), on.end(), std::back_inserter(here), isHere);
    auto& candidates = here.empty() ? on : here;
    if (candidates.size() == 1)
        return candidates.front();
    std::string ids = "say which one by its id:";
    for (const Butterfly& b : candidates)
        ids += " " + b.id.text();
    return fail(Code::NotAllowed, ids);
}

Result<Saved> Tagging::addFate(Kind kind, const std::optional<std::string>& which, json::object body, bool withPlace) {
    const auto b = find(which);
    if (!b)
        return fail(b.error());
    auto persisting = m_session.persisting();
    if (kind == Kind::ButterflyHeld)
        persisting.cage = journal::textIn(body, "cage").value_or("");
    auto commit = begin();
    const auto session = m_session.ensureOpen(commit, persisting);
    if (!session)
        return fail(session.error());
    if (withPlace)
        if (auto placed = addPlace(commit, body, "place"); !placed)
            return fail(placed.error());
    commit.newAct();
    commit.add(kind, {b->id}, std::move(body));
    return commit.save();
}

Result<Saved> Tagging::hold(const std::optional<std::string>& which, const std::string& cage) {
    return addFate(Kind::ButterflyHeld, which, {{"cage", cage.empty() ? m_session.persisting().cage : cage}},
                   false);
}

Result<Saved> Tagging::release(const std::optional<std::string>& which, const std::optional<Uuid>& hand) {
    json::object body;
    if (hand)
        body["hand"] = hand->text();
    return addFate(Kind::ButterflyReleased, which, std::move(body), true);
}

Result<Saved> Tagging::escaped(const std::optional<std::string>& which, TagOn tag) {
    return addFate(Kind::ButterflyEscaped, which, {{"tag", tag == TagOn::Wing ? "on" : "off"}}, true);
}

Result<Saved> Tagging::died(const std::optional<std::string>& which, TagOn tag) {
    return addFate(Kind::ButterflyDied, which, {{"tag", tag == TagOn::Wing ? "on" : "off"}}, false);
}

Result<Saved> Tagging::untagged(const std::optional<std::string>& which, const Untagged& what) {
    if (auto ok = oneOf(what.why, kWhys, "why"); !ok)
        return fail(ok.error());
    if (auto ok = oneOf(what.sex, kSexes, "sex"); !ok)
        return fail(ok.error());
    if (auto ok = oneOf(what.origin, kOrigins, "origin"); !ok)
        return fail(ok.error());
    json::object body{{"why", what.why}};
    const auto open = find(which);
    if (!open && (which || open.error().code != Code::NotFound))
        return fail(open.error());
    auto commit = begin();
    const auto session = m_session.ensureOpen(commit);
    if (!session)
        return fail(session.error());
    body["session"] = session->text();
    if (!open || what.sex != "unknown")
        body["sex"] = what.sex;
    const std::string& origin = what.origin.empty() ? m_session.persisting().origin : what.origin;
    if (!origin.empty() && (!open || !what.origin.empty()))
        body["origin"] = origin;
    if (auto placed = addPlace(commit, body, "place"); !placed)
        return fail(placed.error());
    commit.newAct();
    commit.add(Kind::ButterflyUntagged, {open ? open->id : commit.newId()}, std::move(body));
    return commit.save();
}

Result<Saved> Tagging::spoiled(const std::optional<std::string>& which, const std::optional<std::string>& next) {
    const auto b = find(which);
    if (!b)
        return fail(b.error());
    const auto ruined = b->currentCode();
    if (!ruined)
        return fail(Code::NotFound, "a tag on this butterfly");
    const auto code = nextOr(next);
    if (!code)
        return fail(code.error());
    auto commit = begin();
    commit.add(Kind::TagSpoiled, {b->id}, {{"code", *ruined}, {"next", code->code.text()}});
    auto saved = commit.save();
    if (saved)
        m_stock.wentOnFrom(code->code);
    return saved;
}

Result<Saved> Tagging::retagged(const std::optional<std::string>& which, const std::optional<std::string>& next) {
    const auto b = find(which);
    if (!b)
        return fail(b.error());
    const auto code = nextOr(next);
    if (!code)
        return fail(code.error());
    auto commit = begin();
    commit.add(Kind::ButterflyRetagged, {b->id}, {{"code", code->code.text()}});
    auto saved = commit.save();
    if (saved)
        m_stock.wentOnFrom(code->code);
    return saved;
}

Result<Saved> Tagging::measured(const std::optional<std::string>& which, const Measures& measures) {
    const auto b = find(which);
    if (!b)
        return fail(b.error());
    auto commit = begin();
    json::object body;
    if (auto added = addMeasures(commit, body, measures); !added)
        return fail(added.error());
    if (body.empty())
        return fail(Code::NothingToDo, "nothing measured");
    commit.add(Kind::ButterflyMeasured, {b->id}, std::move(body));
    return commit.save();
}

Result<Saved> Tagging::comparedApart(const tag::Code& offered, const tag::Code& says,
                                     const std::vector<Uuid>& butterflies) {
    if (butterflies.empty())
        return fail(Code::BadInput, "butterflies: those noted since offer and paper agreed");
    if (offered == says)
        return fail(Code::BadInput, "says: another code than " + offered.text());
    // Nobody looked at the paper for hundreds of tags: more ids than one line can hold go on in a next one.
    constexpr std::size_t kMostInALine = 300;
    auto commit = m_writer.begin();
    std::vector<Uuid> about;
    const auto add = [&] {
        commit.add(Kind::TagCompared, std::move(about), {{"offered", offered.text()}, {"says", says.text()}});
        about.clear();
    };
    std::set<Uuid> seen;
    for (const Uuid& id : butterflies) {
        if (!seen.insert(id).second)
            continue;
        if (about.size() == kMostInALine)
            add();
        about.push_back(id);
    }
    add();
    auto saved = commit.save();
    if (saved)
        m_stock.goOnAt(says);
    return saved;
}

Result<Tagging::Recaptured> Tagging::recaptured(const Recapture& what) {
    if (auto ok = oneOf(what.mark, kMarks, "mark"); !ok)
        return fail(ok.error());
    if (auto ok = oneOf(what.sex, kSexes, "sex"); !ok)
        return fail(ok.error());
    json::object body{{"mark", what.mark}, {"sex", what.sex}};
    std::optional<Butterfly> known;
    if (what.code) {
        // A worn tag may give half a code: then the text is kept as read, and no butterfly is guessed.
        if (const auto code = m_stock.read(*what.code)) {
            body["code"] = code->code.text();
            if (auto b = find(code->code.text()))
                known = std::move(*b);
            else if (b.error().code != Code::NotFound && b.error().code != Code::NotAllowed)
                return fail(b.error());
        } else if (what.mark == "readable") {
            return fail(code.error());
        }
        body["text"] = *what.code;
    }
    auto commit = begin();
    const auto session = m_session.ensureOpen(commit);
    if (!session)
        return fail(session.error());
    const Uuid id = known ? known->id : commit.newId();
    if (auto closed = closeOpen(commit, id); !closed)
        return fail(closed.error());
    if (!known) {
        body["session"] = session->text();
        if (!what.origin.empty())
            body["origin"] = what.origin;
    }
    if (auto added = addMeasures(commit, body, what.measures); !added)
        return fail(added.error());
    if (auto read = addRead(commit, body, what.read); !read)
        return fail(read.error());
    if (auto placed = addPlace(commit, body, "place"); !placed)
        return fail(placed.error());
    commit.add(Kind::ButterflyRecaptured, {id}, std::move(body));
    auto saved = commit.save();
    if (!saved)
        return fail(saved.error());
    return Recaptured{std::move(*saved), id, std::move(known)};
}

Result<Saved> Tagging::releaseCage(const std::string& cage, const std::vector<std::string>& except,
                                   const std::vector<std::string>& dead) {
    const auto held = m_writer.journal().projections().butterfliesWithFate(Fate::Held);
    if (!held)
        return fail(held.error());
    std::vector<Uuid> staying;
    for (const std::string& which : except) {
        const auto b = find(which);
        if (!b)
            return fail(b.error());
        staying.push_back(b->id);
    }
    std::vector<Uuid> dying;
    for (const std::string& which : dead) {
        const auto b = find(which);
        if (!b)
            return fail(b.error());
        dying.push_back(b->id);
    }
    auto commit = begin();
    const auto session = m_session.ensureOpen(commit);
    if (!session)
        return fail(session.error());
    commit.newAct();
    bool any = false;
    for (const Butterfly& b : *held) {
        if ((!cage.empty() && b.cage != cage) || std::find(staying.begin(), staying.end(), b.id) != staying.end())
            continue;
        any = true;
        if (std::find(dying.begin(), dying.end(), b.id) != dying.end()) {
            commit.add(Kind::ButterflyDied, {b.id}, {{"tag", "on"}});
            continue;
        }
        json::object body;
        if (auto placed = addPlace(commit, body, "place"); !placed)
            return fail(placed.error());
        commit.add(Kind::ButterflyReleased, {b.id}, std::move(body));
    }
    if (!any)
        return fail(Code::NothingToDo, "nobody is in this cage");
    return commit.save();
}

Result<Saved> Tagging::exceptAfterwards(const std::string& which, Except how) {
    const auto b = find(which);
    if (!b)
        return fail(b.error());
    // The last line that let it go, and what has been said of it since.
    auto& projections = m_writer.journal().projections();
    const auto lines = projections.linesOfSubject(b->id.text());
    if (!lines)
        return fail(lines.error());
    const journal::Entry* letGo = nullptr;
    for (const auto& entry : *lines)
        if (entry.line && journal::kindOf(entry.line->kind) == Kind::ButterflyReleased &&
            (letGo == nullptr || letGo->order() < entry.order()))
            letGo = &entry;
    if (letGo == nullptr)
        return fail(Code::NothingToDo, "it was not let go");
    const auto amended = projections.amendedLine(*letGo);
    if (!amended)
        return fail(amended.error());
    auto commit = begin();
    commit.add(Kind::EntryCorrected, {},
               {{"of", letGo->line->id.text()},
                {"set", json::object{{"except", how == Except::Stayed ? "stayed" : "died"}}},
                {"over", journal::idsToJson(amended->appliedCorrections)},
                {"why", "exception from a cage let go"}});
    return commit.save();
}

} // namespace discal::services

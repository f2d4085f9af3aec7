#include "core/butterfly/butterfly.h"

#include "core/tag/code.h"

#include <algorithm>
#include <array>

namespace discal::butterfly {

namespace json = boost::json;
using journal::Amended;
using journal::Kind;
using journal::textIn;

namespace {

constexpr std::array<std::string_view, 8> kFates{"noted", "held",     "released", "escaped",
                                                 "died",  "untagged", "seen",     "unclear"};
constexpr std::array<std::string_view, 4> kBonds{"on", "spoiled", "free", "seen"};
constexpr std::array<std::string_view, 6> kMeasures{"forewing_um", "wear",            "wear_scale",
                                                    "mated",       "parasite_sample", "note"};

void putText(std::string& field, const json::object& body, std::string_view name) {
    if (const auto s = textIn(body, name))
        field = *s;
}

void carry(Butterfly& b, std::string_view typed, Carried::Bond bond, const journal::Uuid& line) {
    const auto parsed = tag::Code::fromText(typed);
    const std::string code = parsed ? parsed->text() : std::string(typed);
    const auto same = std::find_if(b.codes.begin(), b.codes.end(), [&](const Carried& c) { return c.code == code; });
    if (same == b.codes.end())
        b.codes.push_back({code, bond, line});
    else if (bond != Carried::Bond::Seen)
        *same = {code, bond, line};
}

/// The codes on the wing become `bond`.
void dropCodes(Butterfly& b, Carried::Bond bond, const journal::Uuid& line) {
    for (Carried& c : b.codes)
        if (c.bond == Carried::Bond::On) {
            c.bond = bond;
            c.line = line;
        }
}

/// When an inferred change came about, if its line says so and nobody has said the time anew: the earliest that it
/// can have been. The line itself may be of the next day, but nobody keeps a tagged one in the hand so long.
std::optional<std::string> inferredTime(const Amended& event) {
    if (!journal::claimIn(event.line.body, "inferred").value_or(false) || event.isCorrected("at"))
        return std::nullopt;
    const auto earliest = time::parseUtc(textIn(event.line.body, "earliest").value_or(""));
    return earliest ? std::optional(time::formatUtc(*earliest)) : std::nullopt;
}

std::string timeOf(const Amended& event) {
    return inferredTime(event).value_or(time::formatUtc(event.line.at));
}

/// A change of fate, with how it is known.
void become(Butterfly& b, Fate fate, const Amended& event) {
    // The offset goes with the time: an inferred one is that of an earlier line, and so is its local date.
    if (!inferredTime(event) || b.notedAt.empty())
        b.offsetMin = event.line.offset.count();
    b.fate = fate;
    b.isInferred = journal::claimIn(event.line.body, "inferred").value_or(false);
    b.earliest.clear();
    b.latest.clear();
    putText(b.earliest, event.line.body, "earliest");
    putText(b.latest, event.line.body, "latest");
}

void place(json::object& where, const Amended& event) {
    if (const auto* place = journal::objectIn(event.line.body, "place"))
        where = *place;
}

void let(Butterfly& b, const Amended& event) {
    become(b, Fate::Released, event);
    b.releasedAt = timeOf(event);
    b.cage.clear();
    place(b.released, event);
}

void measure(Butterfly& b, const json::object& body) {
    for (const std::string_view name : kMeasures)
        if (const auto* value = body.if_contains(name))
            b.measures[name] = *value;
}

/// What every line about it may add: sex, origin, who, lot.
void describe(Butterfly& b, const Amended& event) {
    const json::object& body = event.line.body;
    putText(b.sex, body, "sex");
    putText(b.origin, body, "origin");
    putText(b.lot, body, "lot");
    putText(b.tagger, body, "tagger");
    putText(b.session, body, "session");
    if (const auto* taken = journal::objectIn(body, "taken"))
        b.taken = *taken;
    measure(b, body);
}

void note(Butterfly& b, const Amended& event) {
    const bool isLate = b.fate != Fate::Unclear && b.fate != Fate::Seen;
    if (isLate && !b.noteLine.empty())
        b.contradictions.push_back(event.line.id);
    describe(b, event);
    b.noteLine = event.line.id.text();
    b.notedAt = time::formatUtc(event.line.at);
    b.device = event.device.text();
    b.recorder = event.line.by ? event.line.by->text() : "";
    if (const auto code = textIn(event.line.body, "code"))
        carry(b, *code, Carried::Bond::On, event.line.id);
    if (!isLate)
        become(b, Fate::Noted, event);
}

void apply(Butterfly& b, const Amended& event) {
    const json::object& body = event.line.body;
    const bool isOver = b.fate == Fate::Died || b.fate == Fate::Escaped || b.fate == Fate::Untagged;
    const bool isOut = b.fate == Fate::Released || isOver;
    switch (event.kind) {
    case Kind::ButterflyNoted:
        note(b, event);
        break;
    case Kind::ButterflyHeld:
        if (isOut)
            b.contradictions.push_back(event.line.id);
        become(b, Fate::Held, event);
        b.heldSince = timeOf(event);
        putText(b.cage, body, "cage");
        break;
    case Kind::ButterflyReleased: {
        // Said afterwards of one in a cage that was let go: it stayed, or lay dead.
        const auto except = textIn(body, "except").value_or("");
        if (except == "stayed")
            break;
        if (isOut)
            b.contradictions.push_back(event.line.id);
        if (except == "died") {
            become(b, Fate::Died, event);
            b.cage.clear();
        } else {
            let(b, event);
        }
        break;
    }
    case Kind::ButterflyEscaped:
        if (isOut)
            b.contradictions.push_back(event.line.id);
        if (textIn(body, "tag").value_or("off") == "on") {
            let(b, event);
        } else {
            become(b, Fate::Escaped, event);
            b.cage.clear();
            dropCodes(b, Carried::Bond::Free, event.line.id);
        }
        break;
    case Kind::ButterflyDied:
        if (isOver)
            b.contradictions.push_back(event.line.id);
        become(b, Fate::Died, event);
        b.cage.clear();
        // A tag that never went on is free again; one on a dead wing is used.
        if (textIn(body, "tag") == "off")
            dropCodes(b, Carried::Bond::Free, event.line.id);
        break;
    case Kind::ButterflyUntagged:
        if (isOut)
            b.contradictions.push_back(event.line.id);
        describe(b, event);
        if (b.notedAt.empty()) {
            b.notedAt = time::formatUtc(event.line.at);
            b.device = event.device.text();
            b.recorder = event.line.by ? event.line.by->text() : "";
        }
        become(b, Fate::Untagged, event);
        dropCodes(b, Carried::Bond::Free, event.line.id);
        place(b.released, event);
        break;
    case Kind::ButterflyRetagged:
        if (const auto code = textIn(body, "code"))
            carry(b, *code, Carried::Bond::On, event.line.id);
        break;
    case Kind::ButterflyRecaptured:
        ++b.recaptures;
        if (const auto code = textIn(body, "code"))
            carry(b, *code, Carried::Bond::Seen, event.line.id);
        if (b.fate == Fate::Noted || b.fate == Fate::Held) {
            // It was never let go in writing, and here it is again: it must have flown in between.
            b.earliest = b.fate == Fate::Held ? b.heldSince : b.notedAt;
            const std::string earliest = b.earliest;
            become(b, Fate::Released, event);
            b.cage.clear();
            b.isInferred = true;
            b.earliest = earliest;
            b.latest = time::formatUtc(event.line.at);
        } else if (b.fate == Fate::Unclear) {
            become(b, Fate::Seen, event);
            describe(b, event);
        } else if (isOver) {
            b.contradictions.push_back(event.line.id);
        }
        measure(b, body);
        break;
    case Kind::ButterflyMeasured:
        measure(b, body);
        break;
    case Kind::TagSpoiled:
        if (const auto code = textIn(body, "code"))
            carry(b, *code, Carried::Bond::Spoiled, event.line.id);
        if (const auto next = textIn(body, "next"))
            carry(b, *next, Carried::Bond::On, event.line.id);
        break;
    case Kind::TagCompared:
        // It says nothing of this one but that its code is open to doubt; nor that, once corrected to equal
        // codes.
        if (textIn(body, "offered") != textIn(body, "says"))
            b.comparedApart.push_back(event.line.id);
        break;
    default:
        break;
    }
}

} // namespace

std::string_view textOf(Fate fate) { return kFates[static_cast<std::size_t>(fate)]; }

Fate fateOf(std::string_view text) {
    const auto* at = std::find(kFates.begin(), kFates.end(), text);
    return at == kFates.end() ? Fate::Unclear : static_cast<Fate>(at - kFates.begin());
}

std::string_view textOf(Carried::Bond bond) { return kBonds[static_cast<std::size_t>(bond)]; }

std::optional<std::string> Butterfly::currentCode() const {
    // The tag put on last is the one that people read first.
    for (auto c = codes.rbegin(); c != codes.rend(); ++c)
        if (c->bond == Carried::Bond::On)
            return c->code;
    for (auto c = codes.rbegin(); c != codes.rend(); ++c)
        if (c->bond == Carried::Bond::Seen)
            return c->code;
    return std::nullopt;
}

void step(Butterfly& b, const Amended& event) {
    b.last = event.order;
    b.lines.push_back(event.line.id);
    b.needsNewer |= event.isNewer || event.needsNewer;
    if (!event.isNewer && !event.isWithdrawn)
        apply(b, event);
}

json::object toJson(const Butterfly& b) {
    json::object out;
    const auto put = [&](std::string_view name, const std::string& s) {
        if (!s.empty())
            out[name] = s;
    };
    out["id"] = b.id.text();
    out["fate"] = textOf(b.fate);
    json::array codes;
    for (const Carried& c : b.codes)
        codes.push_back(json::object{{"code", c.code},
                                     {"bond", kBonds[static_cast<std::size_t>(c.bond)]},
                                     {"line", c.line.text()}});
    out["codes"] = std::move(codes);
    out["sex"] = b.sex;
    put("origin", b.origin);
    put("session", b.session);
    put("cage", b.cage);
    put("noted_at", b.notedAt);
    put("held_since", b.heldSince);
    put("released_at", b.releasedAt);
    out["offset_min"] = b.offsetMin;
    if (b.isInferred)
        out["inferred"] = true;
    put("earliest", b.earliest);
    put("latest", b.latest);
    put("device", b.device);
    put("recorder", b.recorder);
    put("tagger", b.tagger);
    put("lot", b.lot);
    if (!b.taken.empty())
        out["taken"] = b.taken;
    if (!b.released.empty())
        out["released"] = b.released;
    if (!b.measures.empty())
        out["measures"] = b.measures;
    if (b.recaptures > 0)
        out["recaptures"] = b.recaptures;
    if (b.needsNewer)
        out["needs_newer"] = true;
    if (!b.contradictions.empty())
        out["contradictions"] = journal::idsToJson(b.contradictions);
    if (!b.comparedApart.empty())
        out["compared_apart"] = journal::idsToJson(b.comparedApart);
    out["lines"] = journal::idsToJson(b.lines);
    put("note_line", b.noteLine);
    out["last"] = journal::orderToJson(b.last);
    return out;
}

Butterfly fromJson(const json::object& story) {
    Butterfly b;
    if (const auto id = journal::idIn(story, "id"))
        b.id = *id;
    b.fate = fateOf(textIn(story, "fate").value_or("unclear"));
    if (const auto* codes = story.if_contains("codes"); codes != nullptr && codes->is_array())
        for (const auto& item : codes->as_array()) {
            const auto& c = item.as_object();
            const auto* bond = std::find(kBonds.begin(), kBonds.end(), textIn(c, "bond").value_or("on"));
            b.codes.push_back({std::string(textIn(c, "code").value_or("")),
                               static_cast<Carried::Bond>(bond - kBonds.begin()),
                               journal::idIn(c, "line").value_or(journal::Uuid{})});
        }
    putText(b.sex, story, "sex");
    putText(b.origin, story, "origin");
    putText(b.session, story, "session");
    putText(b.cage, story, "cage");
    putText(b.notedAt, story, "noted_at");
    putText(b.heldSince, story, "held_since");
    putText(b.releasedAt, story, "released_at");
    b.offsetMin = journal::numberIn(story, "offset_min").value_or(0);
    b.isInferred = journal::claimIn(story, "inferred").value_or(false);
    putText(b.earliest, story, "earliest");
    putText(b.latest, story, "latest");
    putText(b.device, story, "device");
    putText(b.recorder, story, "recorder");
    putText(b.tagger, story, "tagger");
    putText(b.lot, story, "lot");
    if (const auto* taken = journal::objectIn(story, "taken"))
        b.taken = *taken;
    if (const auto* released = journal::objectIn(story, "released"))
        b.released = *released;
    if (const auto* measures = journal::objectIn(story, "measures"))
        b.measures = *measures;
    b.recaptures = static_cast<int>(journal::numberIn(story, "recaptures").value_or(0));
    b.needsNewer = journal::claimIn(story, "needs_newer").value_or(false);
    b.contradictions = journal::idsIn(story, "contradictions");
    b.comparedApart = journal::idsIn(story, "compared_apart");
    b.lines = journal::idsIn(story, "lines");
    putText(b.noteLine, story, "note_line");
    b.last = journal::orderIn(story, "last");
    return b;
}

} // namespace discal::butterfly

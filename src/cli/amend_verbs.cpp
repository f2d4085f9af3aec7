#include "cli/doubt_words.h"
#include "cli/field_options.h"
#include "cli/line_words.h"
#include "cli/typed.h"
#include "cli/verbs.h"
#include "cli/workbench.h"
#include "core/journal/correctable.h"

#include <algorithm>
#include <array>
#include <memory>

namespace discal::cli {

namespace json = boost::json;
using journal::Kind;
using journal::Uuid;

namespace {

/// Which of a butterfly's lines is meant where its code is given.
enum class Of { Note, LettingGo };

/// Names that people type for what lines call otherwise; all else is typed as lines call it.
struct Alias {
    std::string_view typed;
    std::string_view member;
    Of of{Of::Note};
};
constexpr std::array<Alias, 9> kAliases{{{"forewing", "forewing_um"},
                                         {"wear-scale", "wear_scale"},
                                         {"parasite-sample", "parasite_sample"},
                                         {"minutes", "effort_min"},
                                         {"radius", "radius_mm"},
                                         {"offset-min", "offset_min"},
                                         {"released", "place", Of::LettingGo},
                                         {"released-at", "at", Of::LettingGo},
                                         {"released-by", "hand", Of::LettingGo}}};

Alias aliasOf(std::string_view typed) {
    const auto* at =
        std::find_if(kAliases.begin(), kAliases.end(), [&](const Alias& a) { return a.typed == typed; });
    return at == kAliases.end() ? Alias{typed, typed} : *at;
}

/// Where a line of that kind has no such field: those that it has, as people type them.
std::string fieldNames(Kind kind) {
    std::string out;
    for (const auto& field : journal::correctableOf(kind)) {
        const auto* alias = std::find_if(kAliases.begin(), kAliases.end(), [&](const Alias& a) {
            return a.member == field.field && a.of == Of::Note;
        });
        out += (out.empty() ? "" : ", ") + std::string(alias == kAliases.end() ? field.field : alias->typed);
    }
    if (kind == Kind::ButterflyNoted)
        out += ", and of its release: released, released-at, released-by";
    return out;
}

/// A line's own value of `member`; null when it says nothing.
json::value valueOf(const journal::Line& line, std::string_view member) {
    if (member == "at")
        return json::value(time::formatUtc(line.at));
    if (member == "offset_min")
        return json::value(line.offset.count());
    const auto* value = line.body.if_contains(member);
    return value == nullptr ? json::value() : *value;
}

/// The value as lines hold it: millimetres become micrometres, initials and names become ids.
Result<std::string> valueIn(Workbench& bench, std::string_view typedField, std::string_view member,
                            const std::string& typed) {
    if (typedField == "forewing" || typedField == "radius") {
        const auto scaled = decimalIn(typed, 3);
        return scaled ? Result<std::string>(std::to_string(*scaled)) : fail(scaled.error());
    }
    if (member == "tagger" || member == "hand") {
        const auto person = bench.station.person(typed);
        return person ? Result<std::string>(person->id.text()) : fail(person.error());
    }
    if (member == "lot") {
        const auto lot = bench.station.findLot(typed);
        if (!lot)
            return fail(lot.error());
        return *lot ? Result<std::string>((*lot)->text())
                    : fail(Code::NotFound, "a rearing lot named " + typed);
    }
    if (member == "site") {
        const auto site = siteNamed(bench, typed);
        return site ? Result<std::string>(site->text()) : fail(site.error());
    }
    return typed;
}

/// The last line that let it go and stands: released, flown with its tag, or let be without one.
Result<Uuid> lettingGoOf(Workbench& bench, const butterfly::Butterfly& b) {
    const auto lines = bench.projections().linesOfSubject(b.id.text());
    if (!lines)
        return fail(lines.error());
    std::optional<journal::Amended> last;
    for (const auto& entry : *lines) {
        if (!entry.line)
            continue;
        auto line = bench.projections().amendedLine(entry);
        if (!line)
            return fail(line.error());
        const bool isLetGo =
            (line->kind == Kind::ButterflyReleased && !journal::textIn(line->line.body, "except")) ||
            (line->kind == Kind::ButterflyEscaped && journal::textIn(line->line.body, "tag") == "on") ||
            line->kind == Kind::ButterflyUntagged;
        if (isLetGo && !line->isWithdrawn && (!last || last->order < line->order))
            last = std::move(*line);
    }
    return last ? Result<Uuid>(last->line.id)
                : fail(Code::NotFound, "the line that let " + nameOf(b) + " go");
}

/// The line meant by an id; by a code that one of the butterfly's lines which has the field.
Result<Uuid> lineOf(Workbench& bench, const std::string& typed, Of of) {
    if (const auto id = Uuid::parse(typed)) {
        const auto lines = bench.projections().linesWithId(*id);
        if (!lines)
            return fail(lines.error());
        if (!lines->empty())
            return *id;
    }
    const auto b = bench.tagging.find(typed);
    if (!b)
        return fail(b.error());
    if (of == Of::LettingGo)
        return lettingGoOf(bench, *b);
    const auto noted = Uuid::parse(b->noteLine);
    return noted ? noted : fail(Code::NotFound, "the line that noted " + nameOf(*b));
}

/// What was typed for one correction.
struct Correction {
    std::string which;
    std::string field;
    std::optional<std::string> value;
    WhoAndWhere where; ///< instead of a value, for a place
    std::string why;
};

Result<services::Saved> save(Workbench& bench, const Uuid& line, const journal::Correctable& field,
                             const Correction& typed) {
    const std::string member(field.field);
    const bool isPlaceSaid = !typed.where.site.empty() || !typed.where.position.empty();
    if (field.value != journal::Correctable::Value::Place) {
        if (isPlaceSaid || !typed.value)
            return fail(Code::BadInput, typed.field + " VALUE; --site and --at-position are for places");
        const auto said = valueIn(bench, typed.field, member, *typed.value);
        if (!said)
            return fail(said.error());
        return bench.amending.correct(line, member, *said, typed.why);
    }
    if (!isPlaceSaid || typed.value)
        return fail(Code::BadInput,
                    typed.field + " --site NAME, or --at-position=LAT,LON,UNCERTAINTY_M, or both");
    services::Amending::Where where;
    if (!typed.where.site.empty()) {
        const auto site = siteNamed(bench, typed.where.site);
        if (!site)
            return fail(site.error());
        where.site = *site;
    }
    if (!typed.where.position.empty()) {
        const auto position = positionIn(typed.where.position);
        if (!position)
            return fail(position.error());
        where.position = *position;
    }
    bench.putPlacesIntoWords();
    return bench.amending.correctPlace(line, member, where, typed.why, &bench.session.placeWords());
}

Result<Told> correct(Workbench& bench, const Correction& typed) {
    if (typed.field == "note")
        return fail(Code::NotAllowed,
                    "notes are kept beside the lines; measure CODE --note TEXT gives a newer one");
    const Alias field = aliasOf(typed.field);
    const auto line = lineOf(bench, typed.which, field.of);
    if (!line)
        return fail(line.error());
    const auto entries = bench.projections().linesWithId(*line);
    if (!entries)
        return fail(entries.error());
    const auto before = bench.projections().amendedLine(entries->front());
    if (!before)
        return fail(before.error());
    const auto* correctable = journal::correctable(before->kind, field.member);
    if (correctable == nullptr && !before->isNewer && !journal::correctableOf(before->kind).empty())
        return fail(Code::BadInput, "one of these fields: " + fieldNames(before->kind));
    // Where a line has no field at all, the service says why.
    const auto done = correctable == nullptr ? bench.amending.correct(*line, std::string(field.member),
                                                                      typed.value.value_or(""), typed.why)
                                             : save(bench, *line, *correctable, typed);
    if (!done)
        return fail(done.error());
    const auto after = bench.projections().amendedLine(entries->front());
    if (!after)
        return fail(after.error());
    const std::string now = valueWords(field.member, valueOf(after->line, field.member), bench.names);
    const std::string was = valueWords(field.member, valueOf(before->line, field.member), bench.names);
    const auto saved = bench.readBack(bench.saved().back());
    std::string subject = saved ? codeOf(saved->line, bench.names) : std::string();
    if (subject.empty())
        subject = "The line \"" + sentenceOf(before->line, bench.names) + "\"";
    Told told{subject + ": " + typed.field + " was " + was + " and is " + now +
              " now; both stay in the "
              "journal."};
    if (!before->withoutAuthority.empty() || after->withoutAuthority.size() > before->withoutAuthority.size())
        told.sentence =
            "The correction is kept, without effect until an office looks at it: another device wrote that "
            "line.";
    else if (done->lines.size() > 1)
        told.more.emplace_back("When or where it counts as let go was inferred from that, and follows.");
    told.members["line"] = line->text();
    told.members["field"] = field.member;
    told.members["was"] = valueOf(before->line, field.member);
    told.members["is"] = valueOf(after->line, field.member);
    told.alsoMarked.push_back(*line);
    return told;
}

Result<Told> withdraw(Workbench& bench, const std::string& typed, const std::string& why) {
    std::optional<Uuid> act;
    if (typed.empty()) {
        const auto last = bench.amending.lastAct();
        if (!last)
            return fail(last.error());
        if (!*last)
            return fail(Code::NothingToDo, "nothing of this device is left that could be taken back");
        act = **last;
    } else {
        const auto id = Uuid::parse(typed);
        if (!id)
            return fail(Code::BadInput, "the id of an act, as journal list --ids prints it");
        act = *id;
        // The id of any line of the tap means the tap.
        const auto lines = bench.projections().linesWithId(*id);
        if (!lines)
            return fail(lines.error());
        if (!lines->empty() && lines->front().line)
            act = lines->front().line->act;
    }
    const auto lines = bench.projections().linesOfAct(*act);
    if (!lines)
        return fail(lines.error());
    if (lines->empty())
        return fail(Code::NotFound, "an act " + act->text());
    std::vector<std::string> said;
    bool bringsBack = false;
    json::array taken;
    for (const auto& entry : *lines) {
        const auto amended = bench.projections().amendedLine(entry);
        if (!amended)
            return fail(amended.error());
        if (amended->isWithdrawn)
            return fail(Code::NothingToDo, "that was taken back already");
        taken.emplace_back(entry.line->id.text());
        std::vector<journal::Entry> shown{entry};
        if (journal::kindOf(entry.line->kind) == Kind::EntryWithdrawn)
            if (const auto of = journal::idIn(entry.line->body, "act")) {
                bringsBack = true;
                if (auto back = bench.projections().linesOfAct(*of); back && !back->empty())
                    shown = std::move(*back);
            }
        for (const auto& one : shown)
            said.push_back(sentenceOf(one.line ? *one.line : *entry.line, bench.names));
    }
    if (auto saved = bench.amending.withdraw(*act, why); !saved)
        return fail(saved.error());
    constexpr std::size_t kMostNamed = 6;
    std::string what;
    for (std::size_t i = 0; i < said.size() && i < kMostNamed; ++i)
        what += (i > 0 ? "; " : "") + said[i];
    if (said.size() > kMostNamed)
        what += "; and " + std::to_string(said.size() - kMostNamed) + " more";
    Told told{(bringsBack ? "Counts again: " : "Taken back: ") + what + "."};
    told.members["act"] = act->text();
    told.members["taken_back"] = std::move(taken);
    for (const auto& entry : *lines) {
        const auto now = bench.projections().amendedLine(entry);
        if (now && !now->isWithdrawn) {
            told.sentence =
                "The wish to take it back is kept, without effect until an office looks at it: another "
                "device wrote that.";
            told.alsoMarked.push_back(entry.line->id);
        }
    }
    return told;
}

int listDoubts(const Call& call, bool isAll) {
    const auto bench = Workbench::forReading(call);
    if (!bench)
        return refuse(bench.error());
    const auto doubts = (*bench)->projections().doubts();
    if (!doubts)
        return refuse(doubts.error());
    const Output out(call.isJson);
    Names& names = (*bench)->names;
    std::int64_t shown = 0;
    for (const auto& d : *doubts) {
        if (d.settled && !isAll)
            continue;
        ++shown;
        const std::string says = sentenceOf(d.doubt, (*bench)->journal(), names);
        json::object object{{"key", d.doubt.key()},
                            {"rule", d.doubt.rule},
                            {"subject", d.doubt.subject},
                            {"severity", textOf(d.doubt.severity)},
                            {"says", says}};
        if (d.settled)
            object["settled"] = *d.settled;
        out.say(says + " [" + std::string(textOf(d.doubt.severity)) + "]");
        if (d.settled)
            out.say("  settled: " + *d.settled);
        out.say("  key: " + d.doubt.key());
        json::array lines;
        for (const Uuid& id : d.doubt.evidence) {
            json::object line{{"id", id.text()}};
            std::string text = "  line " + id.text();
            if (const auto entries = (*bench)->projections().linesWithId(id); entries && !entries->empty())
                if (const auto amended = (*bench)->projections().amendedLine(entries->front())) {
                    const std::string words = sentenceOf(amended->line, names);
                    text += "  " + localTime(amended->line.at, amended->line.offset) + "  " + words +
                            ", by " + names.device(amended->device.text());
                    line["device"] = amended->device.text();
                    line["at"] = time::formatUtc(amended->line.at);
                    line["says"] = words;
                }
            lines.push_back(std::move(line));
            out.say(text);
        }
        object["lines"] = std::move(lines);
        out.put(object);
    }
    if (shown == 0)
        out.say("Nothing to check: everything that is written adds up.");
    return kDone;
}

int settle(const Call& call, const std::vector<std::string>& key, const std::string& choice,
           const std::string& why) {
    const auto bench = Workbench::forWriting(call);
    if (!bench)
        return refuse(bench.error());
    const std::string whole = codeIn(key).value_or("");
    if (auto saved = (*bench)->amending.settle(whole, choice, why); !saved)
        return refuse(saved.error());
    Told told{"Settled: " + whole + ", " + choice + ". It opens again if a further line speaks against it."};
    told.members["key"] = whole;
    return report(Output(call.isJson), **bench, told);
}

void addCorrect(CLI::App& app, Call& call) {
    struct Typed {
        std::vector<std::string> words;
        Correction correction;
    };
    const auto typed = std::make_shared<Typed>();
    CLI::App& verb = addVerb(
        app, call, "correct", "Say anew what a line said; the old value stays in the journal",
        "correct \"RKD 014\" sex male --why \"looked again\"\n"
        "  discalctl correct \"RKD 014\" released --site \"Long Meadow\"",
        On::OwnJournal, [&call, typed] {
            const auto& words = typed->words;
            Correction correction = typed->correction;
            const bool isPlace = !correction.where.site.empty() || !correction.where.position.empty();
            // A code without quotes comes as two words: "RKD 014 sex male", "RKD 014 taken".
            const bool isParted = words.size() > (isPlace ? 2U : 3U) && !words[1].empty() &&
                                  words[1][0] >= '0' && words[1][0] <= '9';
            const std::size_t field = isParted ? 2 : 1;
            correction.which = isParted ? words[0] + " " + words[1] : words[0];
            correction.field = words[field];
            correction.value = codeIn({words.begin() + static_cast<std::ptrdiff_t>(field) + 1, words.end()});
            const auto bench = Workbench::forWriting(call);
            if (!bench)
                return refuse(bench.error());
            const auto told = correct(**bench, correction);
            return told ? report(Output(call.isJson), **bench, *told) : refuse(told.error(), **bench);
        });
    verb.add_option(
            "WHAT", typed->words,
            "LINE_ID or CODE, FIELD, VALUE. A CODE means the line that noted it: fields " +
                fieldNames(Kind::ButterflyNoted) +
                ". By LINE_ID: what such a line says; an unknown field is answered with those it has. "
                "Places (taken, released, place) take --site, --at-position or both instead of a VALUE")
        ->expected(2, 8)
        ->required()
        ->type_name("");
    verb.add_option("--site", typed->correction.where.site, "for a place: a known site")->type_name("NAME");
    verb.add_option("--at-position", typed->correction.where.position,
                    "for a place: degrees and metres, such as --at-position=44.9541,-93.1022,15")
        ->type_name("LAT,LON,UNCERTAINTY_M");
    verb.add_option("--why", typed->correction.why, "for whoever reads it later")->type_name("TEXT");
}

void addWithdraw(CLI::App& app, Call& call) {
    struct Typed {
        std::string act;
        std::string why;
    };
    const auto typed = std::make_shared<Typed>();
    CLI::App& verb =
        addVerb(app, call, "withdraw", "Take back a whole tap; without an id the last one",
                "withdraw --why \"wrong butterfly\"", On::OwnJournal, [&call, typed] {
                    const auto bench = Workbench::forWriting(call);
                    if (!bench)
                        return refuse(bench.error());
                    const auto told = withdraw(**bench, typed->act, typed->why);
                    return told ? report(Output(call.isJson), **bench, *told) : refuse(told.error());
                });
    verb.add_option("ACT_ID", typed->act, "id of the tap, or of any of its lines")->type_name("");
    verb.add_option("--why", typed->why, "for whoever reads it later")->type_name("TEXT");
}

void addDoubts(CLI::App& app, Call& call) {
    struct Typed {
        bool isAll{false};
        std::vector<std::string> key;
        std::string choice;
        std::string why;
    };
    const auto typed = std::make_shared<Typed>();
    CLI::App& doubts = addVerb(app, call, "doubts", "List what doesn't add up", "doubts --json",
                               On::OwnJournal, [&call, typed] { return listDoubts(call, typed->isAll); });
    doubts.add_flag("--all", typed->isAll, "settled ones too");

    CLI::App& verb = addVerb(
        app, call, "settle", "Settle a doubt (an office device)",
        "settle \"code.used-twice code RKD 014\" --choice \"the second is RKD 041\" --why \"photo\"",
        On::OwnJournal, [&call, typed] { return settle(call, typed->key, typed->choice, typed->why); });
    verb.add_option("KEY", typed->key, "the doubt's key, as doubts prints it")
        ->expected(1, 6)
        ->required()
        ->type_name("");
    verb.add_option("--choice", typed->choice, "what is so")->required()->type_name("TEXT");
    verb.add_option("--why", typed->why, "how it is known")->required()->type_name("TEXT");
}

} // namespace

void addAmendVerbs(CLI::App& app, Call& call) {
    addCorrect(app, call);
    addWithdraw(app, call);
    addDoubts(app, call);
}

} // namespace discal::cli

#include "cli/field_options.h"
#include "cli/line_words.h"
#include "cli/typed.h"
#include "cli/verbs.h"

#include <memory>

namespace discal::cli {

namespace json = boost::json;
using services::Tagging;

namespace {

/// What a verb about one butterfly takes. Shared by the parser, which fills it, and the verb, which runs
/// later; both hold it by copies of a std::function, hence shared_ptr.
struct Typed {
    std::vector<std::string> code;
    WhoAndWhere who;
    SexAndOrigin sex;
    MeasuresTyped measures;
    std::string tagger;
    std::string hand;
    std::string lot;
    std::string cage;
    std::string next;
    std::string why;
    std::string mark{"readable"};
    std::vector<std::string> except;
    bool isAll{false};
    bool first{false};  ///< --with-tag, --stayed, --tag-off
    bool second{false}; ///< --without-tag, --died

    [[nodiscard]] std::optional<std::string> which() const { return codeIn(code); }
};

using Body = std::function<Result<Told>(Workbench&, const Typed&)>;

/// Adds a verb that works on one butterfly and writes. `body` does it and says what it did.
CLI::App& addTap(CLI::App& app, Call& call, const std::string& name, const std::string& what,
                 const std::string& example, const std::shared_ptr<Typed>& typed, Where where,
                 const Body& body) {
    CLI::App& verb = addVerb(app, call, name, what, example, On::OwnJournal, [&call, typed, where, body] {
        const auto bench = Workbench::forWriting(call);
        if (!bench)
            return refuse(bench.error());
        if (where == Where::Asked)
            (*bench)->putPlacesIntoWords();
        if (auto applied = apply(typed->who, **bench); !applied)
            return refuse(applied.error(), **bench);
        const auto told = body(**bench, *typed);
        if (!told)
            return refuse(told.error(), **bench);
        return report(Output(call.isJson), **bench, *told);
    });
    addWhoAndWhere(verb, typed->who, where);
    return verb;
}

/// Says the main line of what was just saved: the last one.
Result<Told> lastLine(Workbench& bench) {
    const auto line = bench.readBack(bench.saved().back());
    if (!line)
        return fail(line.error());
    Told told{sentenceOf(line->line, bench.names) + "."};
    if (!line->line.about.empty())
        told.members["butterfly"] = line->line.about.front().text();
    if (const auto code = codeOf(line->line, bench.names); !code.empty())
        told.members["code"] = code;
    return told;
}

/// The main line of a tap whose Saved came back, or its error.
Result<Told> lastLine(Workbench& bench, const Result<services::Saved>& saved) {
    return saved ? lastLine(bench) : fail(saved.error());
}

Result<Told> note(Workbench& bench, const Typed& typed) {
    const auto before = bench.session.persisting();
    const bool hadRecorder = typed.who.by.empty() && bench.writer.recorder().has_value();
    Tagging::Note note;
    note.code = typed.which();
    note.sex = typed.sex.sex;
    note.origin = typed.sex.origin();
    if (!typed.who.position.empty() && (note.origin.empty() ? before.origin : note.origin) == "reared")
        return fail(Code::NotAllowed,
                    "a reared one gets its place when it is released (release --at-position)");
    auto measures = measuresOf(typed.measures);
    if (!measures)
        return fail(measures.error());
    note.measures = std::move(*measures);
    if (!typed.lot.empty()) {
        const auto lot = bench.station.findLot(typed.lot);
        if (!lot)
            return fail(lot.error());
        if (!*lot)
            return fail(Code::NotFound,
                        "a rearing lot named " + typed.lot + " (discalctl station lot NAME makes one)");
        note.lot = (*lot)->text();
    }
    if (!typed.tagger.empty()) {
        const auto tagger = bench.station.person(typed.tagger);
        if (!tagger)
            return fail(tagger.error());
        note.tagger = tagger->id.text();
    }
    const auto noted = bench.tagging.note(note);
    if (!noted)
        return fail(noted.error());
    auto told = lastLine(bench);
    if (!told)
        return told;
    told->members["repaired"] = noted->repaired;
    if (noted->repaired)
        told->more.push_back("A look-alike glyph was read as " + noted->code.text() +
                             "; look at the tag once more.");
    std::vector<std::string> asBefore;
    if (note.origin.empty() && !before.origin.empty())
        asBefore.push_back(before.origin);
    if (typed.who.site.empty() && !before.site.empty())
        asBefore.push_back(bench.names.site(before.site));
    if (note.tagger.empty() && !before.tagger.empty())
        asBefore.push_back("tagger " + bench.names.person(before.tagger));
    if (hadRecorder)
        asBefore.push_back("recorder " + bench.names.person(bench.writer.recorder()->text()));
    if (!asBefore.empty())
        told->more.push_back("As before: " + listed(asBefore) + ".");
    return told;
}

Result<Told> releaseMany(Workbench& bench, const Typed& typed) {
    const auto except = codesIn(typed.except);
    const auto saved = bench.tagging.releaseCage(typed.isAll ? "" : typed.cage, except);
    if (!saved)
        return fail(saved.error());
    std::int64_t count = 0;
    json::array ids;
    for (const auto& line : bench.saved())
        if (journal::kindOf(line.kind) == journal::Kind::ButterflyReleased) {
            ++count;
            if (const auto said = bench.readBack(line); said && !said->line.about.empty())
                ids.emplace_back(said->line.about.front().text());
        }
    Told told{counted(count, "butterfly", "butterflies") + " released from " +
              (typed.isAll ? "all cages" : "cage " + typed.cage) +
              (except.empty() ? "" : "; " + listed(except) + (except.size() == 1 ? " stays" : " stay")) +
              "."};
    told.members["released"] = count;
    told.members["butterflies"] = std::move(ids);
    return told;
}

Result<Told> recapture(Workbench& bench, const Typed& typed) {
    Tagging::Recapture what;
    what.code = typed.which();
    what.mark = typed.mark;
    what.sex = typed.sex.sex;
    what.origin = typed.sex.origin();
    auto measures = measuresOf(typed.measures);
    if (!measures)
        return fail(measures.error());
    what.measures = std::move(*measures);
    const auto recaptured = bench.tagging.recaptured(what);
    if (!recaptured)
        return fail(recaptured.error());
    auto told = lastLine(bench);
    if (!told)
        return told;
    told->members["known"] = recaptured->known.has_value();
    if (const auto& b = recaptured->known; b && !b->noteLine.empty())
        told->more.push_back(
            "It was noted on " + localTime(b->notedAt, b->offsetMin) + ": " + b->sex +
            (b->origin.empty() ? "" : ", " + b->origin) +
            (b->releasedAt.empty() ? "" : ", released " + localTime(b->releasedAt, b->offsetMin)) + ".");
    else
        told->more.emplace_back("No line in this journal says when it was tagged.");
    return told;
}

std::optional<std::string> ifSaid(const std::string& text) {
    return text.empty() ? std::nullopt : std::optional(text);
}

void addNote(CLI::App& app, Call& call) {
    const auto typed = std::make_shared<Typed>();
    CLI::App& verb = addTap(app, call, "note", "Write a butterfly down before its tag goes on",
                            "note \"RKD 014\" --sex female --wild --by KLM --site \"Long Meadow\"", typed,
                            Where::Asked, note);
    addCode(verb, typed->code, "the code on the tag; without it the next free one of this device");
    addSexAndOrigin(verb, typed->sex, Sex::Required);
    verb.add_option("--tagger", typed->tagger,
                    "whose hand puts the tag on; without it the recorder, or as before")
        ->type_name("INITIALS");
    verb.add_option("--lot", typed->lot, "the rearing lot it came from")->type_name("NAME");
    addMeasures(verb, typed->measures);
}

void addCages(CLI::App& app, Call& call) {
    auto typed = std::make_shared<Typed>();
    CLI::App& hold =
        addTap(app, call, "hold", "Put a tagged butterfly into a cage", "hold \"RKD 014\" --cage tent", typed,
               Where::NotAsked, [](Workbench& bench, const Typed& t) {
                   return lastLine(bench, bench.tagging.hold(t.which(), t.cage));
               });
    addCode(hold, typed->code, "its code or id; without it the one in hand");
    hold.add_option("--cage", typed->cage, "the cage's name; without it the one used last")
        ->type_name("NAME");

    typed = std::make_shared<Typed>();
    CLI::App& release = addTap(app, call, "release", "Let one go, or all that are in a cage",
                               "release --cage tent --except \"RKD 014\" --site \"Long Meadow\"", typed,
                               Where::Asked, [](Workbench& bench, const Typed& t) -> Result<Told> {
                                   if (t.isAll || !t.cage.empty())
                                       return releaseMany(bench, t);
                                   std::optional<journal::Uuid> hand;
                                   if (!t.hand.empty()) {
                                       const auto person = bench.station.person(t.hand);
                                       if (!person)
                                           return fail(person.error());
                                       hand = person->id;
                                   }
                                   return lastLine(bench, bench.tagging.release(t.which(), hand));
                               });
    auto* code = release.add_option("CODE", typed->code, "its code or id; without it the one in hand")
                     ->expected(0, 2)
                     ->type_name("");
    auto* cage = release.add_option("--cage", typed->cage, "all that are in this cage")
                     ->type_name("NAME")
                     ->excludes(code);
    release.add_flag("--all", typed->isAll, "all that are in any cage")->excludes(code)->excludes(cage);
    release.add_option("--except", typed->except, "with --cage or --all: those that stay")
        ->expected(1, 1000)
        ->type_name("CODE...")
        ->excludes(code);
    release.add_option("--hand", typed->hand, "whose hand it left, by initials, where that was not the recorder's")
        ->type_name("INITIALS")
        ->excludes(cage);

    typed = std::make_shared<Typed>();
    CLI::App& except =
        addTap(app, call, "except", "Say afterwards that one was not let go with its cage",
               "except \"RKD 014\" --stayed", typed, Where::NotAsked,
               [](Workbench& bench, const Typed& t) -> Result<Told> {
                   const auto how = t.first ? Tagging::Except::Stayed : Tagging::Except::Died;
                   const auto b = bench.tagging.find(t.which());
                   if (!b)
                       return fail(b.error());
                   const auto saved = bench.tagging.exceptAfterwards(b->id.text(), how);
                   if (!saved)
                       return fail(saved.error());
                   Told told{nameOf(*b) + (t.first ? " stayed in its cage" : " died in its cage") +
                             " and was not released with the others."};
                   told.members["butterfly"] = b->id.text();
                   return told;
               });
    except.add_option("CODE", typed->code, "its code or id")->expected(1, 2)->required()->type_name("");
    auto* how = except.add_option_group("how", "which of the two");
    how->add_flag("--stayed", typed->first, "it is in the cage");
    how->add_flag("--died", typed->second, "it lay dead");
    how->require_option(1);
}

void addFates(CLI::App& app, Call& call) {
    const std::string which = "its code or id; without it the one in hand";
    auto typed = std::make_shared<Typed>();
    CLI::App& escaped =
        addTap(app, call, "escaped", "It flew before it was let go", "escaped \"RKD 014\" --without-tag",
               typed, Where::Asked, [](Workbench& bench, const Typed& t) {
                   const auto tag = t.first ? Tagging::TagOn::Wing : Tagging::TagOn::Nothing;
                   return lastLine(bench, bench.tagging.escaped(t.which(), tag));
               });
    addCode(escaped, typed->code, which);
    auto* tag = escaped.add_option_group("tag", "which of the two");
    tag->add_flag("--with-tag", typed->first, "its tag was on: it counts as released");
    tag->add_flag("--without-tag", typed->second, "its tag was not on: the code is free again");
    tag->require_option(1);

    typed = std::make_shared<Typed>();
    CLI::App& died = addTap(app, call, "died", "It died", "died \"RKD 014\" --tag-off", typed,
                            Where::NotAsked, [](Workbench& bench, const Typed& t) {
                                const auto on = t.first ? Tagging::TagOn::Nothing : Tagging::TagOn::Wing;
                                return lastLine(bench, bench.tagging.died(t.which(), on));
                            });
    addCode(died, typed->code, which);
    died.add_flag("--tag-off", typed->first, "its tag never went on: the code is free again");

    typed = std::make_shared<Typed>();
    CLI::App& untagged = addTap(
        app, call, "untagged", "Hurt or too worn for a tag: counted, no code",
        "untagged --why worn --sex male --wild", typed, Where::Asked, [](Workbench& bench, const Typed& t) {
            return lastLine(bench, bench.tagging.untagged(t.which(), {t.why, t.sex.sex, t.sex.origin()}));
        });
    addCode(untagged, typed->code, "its code or id; without it the one in hand, or one that was never noted");
    untagged.add_option("--why", typed->why)
        ->check(CLI::IsMember({"hurt", "worn"}))
        ->required()
        ->type_name("hurt|worn");
    addSexAndOrigin(untagged, typed->sex, Sex::Optional);
}

void addTags(CLI::App& app, Call& call) {
    const std::string which = "the butterfly's code or id; without it the one in hand";
    auto typed = std::make_shared<Typed>();
    CLI::App& spoiled =
        addTap(app, call, "spoiled", "The tag is ruined: the same butterfly gets the next code",
               "spoiled \"RKD 014\" --next \"RKD 015\"", typed, Where::NotAsked,
               [](Workbench& bench, const Typed& t) {
                   return lastLine(bench, bench.tagging.spoiled(t.which(), ifSaid(t.next)));
               });
    addCode(spoiled, typed->code, which);
    spoiled.add_option("--next", typed->next, "the code it gets; without it the next free one")
        ->type_name("CODE");

    typed = std::make_shared<Typed>();
    CLI::App& retag =
        addTap(app, call, "retag", "Put a second tag on beside the first", "retag \"RKD 014\" --next RKD041",
               typed, Where::NotAsked, [](Workbench& bench, const Typed& t) {
                   return lastLine(bench, bench.tagging.retagged(t.which(), ifSaid(t.next)));
               });
    addCode(retag, typed->code, which);
    retag.add_option("--next", typed->next, "the code it gets; without it the next free one")
        ->type_name("CODE");

    typed = std::make_shared<Typed>();
    CLI::App& measure = addTap(app, call, "measure", "Add what was measured, or a note",
                               "measure \"RKD 014\" --forewing 51.5 --wear 2 --wear-scale 1-5", typed,
                               Where::NotAsked, [](Workbench& bench, const Typed& t) -> Result<Told> {
                                   const auto measures = measuresOf(t.measures);
                                   if (!measures)
                                       return fail(measures.error());
                                   return lastLine(bench, bench.tagging.measured(t.which(), *measures));
                               });
    addCode(measure, typed->code, which);
    addMeasures(measure, typed->measures);

    typed = std::make_shared<Typed>();
    CLI::App& recaptured =
        addTap(app, call, "recapture", "One that carries a tag is in the hand again, alive",
               "recapture \"RKD 014\" --mark worn --site \"Long Meadow\"", typed, Where::Asked, recapture);
    addCode(recaptured, typed->code, "the code as far as it can be read");
    recaptured.add_option("--mark", typed->mark, "the state of the tag")
        ->check(CLI::IsMember({"readable", "worn", "unreadable", "gone"}))
        ->type_name("readable|worn|unreadable|gone");
    addSexAndOrigin(recaptured, typed->sex, Sex::Optional);
    addMeasures(recaptured, typed->measures);
}

} // namespace

void addTaggingVerbs(CLI::App& app, Call& call) {
    addNote(app, call);
    addCages(app, call);
    addFates(app, call);
    addTags(app, call);
}

} // namespace discal::cli

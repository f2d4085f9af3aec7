#include "cli/doubt_words.h"
#include "cli/line_words.h"
#include "cli/typed.h"
#include "cli/verbs.h"
#include "cli/workbench.h"

#include <algorithm>
#include <array>
#include <memory>

namespace discal::cli {

namespace json = boost::json;
using journal::Kind;
using journal::Uuid;

namespace {

/// What can be said anew, and under which name people know it.
struct Field {
    std::string_view typed;
    std::string_view member;
};
constexpr std::array<Field, 27> kFields{{{"code", "code"},
                                         {"next", "next"},
                                         {"sex", "sex"},
                                         {"origin", "origin"},
                                         {"tagger", "tagger"},
                                         {"lot", "lot"},
                                         {"at", "at"},
                                         {"offset_min", "offset_min"},
                                         {"cage", "cage"},
                                         {"tag", "tag"},
                                         {"mark", "mark"},
                                         {"text", "text"},
                                         {"forewing", "forewing_um"},
                                         {"forewing_um", "forewing_um"},
                                         {"wear", "wear"},
                                         {"wear_scale", "wear_scale"},
                                         {"wear-scale", "wear_scale"},
                                         {"mated", "mated"},
                                         {"parasite_sample", "parasite_sample"},
                                         {"parasite-sample", "parasite_sample"},
                                         {"minutes", "effort_min"},
                                         {"people", "people"},
                                         {"name", "name"},
                                         {"radius", "radius_mm"},
                                         {"count", "count"},
                                         {"stage", "stage"},
                                         {"first", "first"}}};

std::string fieldNames() {
    std::string out;
    for (const Field& field : kFields)
        if (field.typed.find('_') == std::string_view::npos)
            out += (out.empty() ? "" : ", ") + std::string(field.typed);
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
    if (member == "tagger") {
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
    return typed;
}

/// The line meant by an id, or by a code: the line that noted that butterfly.
Result<Uuid> lineOf(Workbench& bench, const std::string& typed) {
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
    const auto noted = Uuid::parse(b->noteLine);
    return noted ? noted : fail(Code::NotFound, "the line that noted " + nameOf(*b));
}

Result<Told> correct(Workbench& bench, const std::string& which, std::string_view typedField,
                     const std::string& value, const std::string& why) {
    const auto* field =
        std::find_if(kFields.begin(), kFields.end(), [&](const Field& f) { return f.typed == typedField; });
    if (typedField == "note")
        return fail(Code::NotAllowed,
                    "notes are kept beside the lines; measure CODE --note TEXT gives a newer one");
    if (field == kFields.end())
        return fail(Code::BadInput, "one of these fields: " + fieldNames());
    const auto line = lineOf(bench, which);
    if (!line)
        return fail(line.error());
    const auto entries = bench.projections().linesWithId(*line);
    if (!entries)
        return fail(entries.error());
    const auto before = bench.projections().amendedLine(entries->front());
    if (!before)
        return fail(before.error());
    const auto said = valueIn(bench, typedField, field->member, value);
    if (!said)
        return fail(said.error());
    if (auto saved = bench.amending.correct(*line, std::string(field->member), *said, why); !saved)
        return fail(saved.error());
    const auto after = bench.projections().amendedLine(entries->front());
    if (!after)
        return fail(after.error());
    const std::string now = valueWords(field->member, valueOf(after->line, field->member), bench.names);
    const std::string was = valueWords(field->member, valueOf(before->line, field->member), bench.names);
    const auto saved = bench.readBack(bench.saved().back());
    std::string subject = saved ? codeOf(saved->line, bench.names) : std::string();
    if (subject.empty())
        subject = "The line \"" + sentenceOf(before->line, bench.names) + "\"";
    Told told{subject + ": " + std::string(typedField) + " was " + was + " and is " + now +
              " now; both stay in the "
              "journal."};
    if (!before->withoutAuthority.empty() || after->withoutAuthority.size() > before->withoutAuthority.size())
        told.sentence =
            "The correction is kept, without effect until an office looks at it: another device wrote that "
            "line.";
    told.members["line"] = line->text();
    told.members["field"] = field->member;
    told.members["was"] = valueOf(before->line, field->member);
    told.members["is"] = valueOf(after->line, field->member);
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
        std::string why;
    };
    const auto typed = std::make_shared<Typed>();
    CLI::App& verb =
        addVerb(app, call, "correct", "Say anew what a line said; the old value stays in the journal",
                "correct \"RKD 014\" sex male --why \"looked again\"", On::OwnJournal, [&call, typed] {
                    const auto& words = typed->words;
                    // A code without quotes comes as two words: "RKD 014 sex male".
                    const bool isParted =
                        words.size() > 3 && !words[1].empty() && words[1][0] >= '0' && words[1][0] <= '9';
                    const std::size_t field = isParted ? 2 : 1;
                    const std::string which = isParted ? words[0] + " " + words[1] : words[0];
                    const std::string value =
                        *codeIn({words.begin() + static_cast<std::ptrdiff_t>(field) + 1, words.end()});
                    const auto bench = Workbench::forWriting(call);
                    if (!bench)
                        return refuse(bench.error());
                    const auto told = correct(**bench, which, words[field], value, typed->why);
                    return told ? report(Output(call.isJson), **bench, *told) : refuse(told.error(), **bench);
                });
    verb.add_option("WHAT", typed->words,
                    "LINE_ID or CODE (then the line that noted it), FIELD, VALUE. Fields: " + fieldNames())
        ->expected(3, 8)
        ->required()
        ->type_name("");
    verb.add_option("--why", typed->why, "for whoever reads it later")->type_name("TEXT");
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

#include "cli/journal_reading.h"
#include "cli/line_words.h"
#include "cli/verbs.h"
#include "cli/workbench.h"
#include "storage/salvage.h"

#include <algorithm>
#include <iostream>
#include <map>
#include <memory>

namespace discal::cli {

namespace json = boost::json;
using storage::JournalFile;

namespace {

/// What is wrong, in words of the chain.
std::string faultWords(const storage::VerifyReport::Fault& fault) {
    const std::string line = "line " + std::to_string(fault.seq);
    switch (fault.code) {
    case Code::Gap:
        return line + " is missing";
    case Code::BrokenChain:
        return fault.detail.empty() ? line + " was changed, or one before it was"
                                    : line + " is not what was signed";
    case Code::BadSignature:
        return "the signature at " + line + " is not by this device";
    case Code::WrongDevice:
        return "the key is not this device's";
    default:
        return fault.detail.empty() ? "damaged" : fault.detail;
    }
}

/// Works on the bare file, so that a damaged journal is looked at as far as it can be read.
int verify(const Call& call) {
    const auto path = journalPath(call);
    if (!path)
        return refuse(path.error());
    const auto file = JournalFile::open(storage::Place(*path), JournalFile::Access::Read);
    if (!file)
        return refuse(file.error());
    const auto chains = (*file)->chains();
    if (!chains)
        return refuse(chains.error());
    const auto forks = (*file)->forks();
    if (!forks)
        return refuse(forks.error());
    const auto report = (*file)->verify();
    if (!report)
        return refuse(report.error());
    const Output out(call.isJson);
    json::array faults;
    std::vector<std::string> sentences;
    for (const auto& fault : report->faults) {
        const std::string device = fault.device.text();
        sentences.push_back((device.empty() ? "The file: " : "Device " + device + ": ") + faultWords(fault) +
                            ".");
        faults.push_back(json::object{{"device", device}, {"seq", fault.seq}, {"says", faultWords(fault)}});
    }
    out.say(counted(report->lines, "line", "lines") + " in " +
            counted(static_cast<std::int64_t>(chains->size()), "chain", "chains") + ", " +
            counted(static_cast<std::int64_t>(forks->size()), "line", "lines") + " beside them, " +
            counted(report->blobs, "text or picture", "texts or pictures") + ": " +
            (report->isSound()
                 ? "all whole."
                 : counted(static_cast<std::int64_t>(report->faults.size()), "fault", "faults") + "."));
    out.put({{"lines", report->lines},
             {"chains", chains->size()},
             {"forks", forks->size()},
             {"blobs", report->blobs},
             {"sound", report->isSound()},
             {"faults", std::move(faults)}});
    for (const auto& sentence : sentences)
        tell(sentence);
    if (report->isSound())
        return kDone;
    return refuse(
        "The file was not changed. discalctl journal salvage OUT saves what is whole into a new journal.");
}

int rebuild(const Call& call) {
    const auto bench = Workbench::forWriting(call);
    if (!bench)
        return refuse(bench.error());
    auto& projections = (*bench)->projections();
    if (auto rebuilt = projections.rebuild(); !rebuilt)
        return refuse(rebuilt.error());
    if (auto flushed = projections.flush(); !flushed)
        return refuse(flushed.error());
    const auto count = projections.butterflyCount();
    const Output out(call.isJson);
    out.say("Read anew from all lines: " + counted(count.value_or(0), "butterfly", "butterflies") + ".");
    out.put({{"butterflies", count.value_or(0)}});
    return kDone;
}

int backup(const Call& call, const std::string& target) {
    const auto bench = Workbench::forReading(call);
    if (!bench)
        return refuse(bench.error());
    if (auto copied = (*bench)->journal().backup(target); !copied)
        return refuse(copied.error());
    const Output out(call.isJson);
    out.say("Checked and copied to " + target +
            ". The copy holds people's initials and notes, so keep it safe; it has "
            "no key, so whoever writes in it goes on under a new device id.");
    out.put({{"backup", target}});
    return kDone;
}

int salvage(const Call& call, const std::string& target) {
    const auto path = journalPath(call);
    if (!path)
        return refuse(path.error());
    const auto saved = storage::salvage(storage::Place(*path), target);
    if (!saved)
        return refuse(saved.error());
    const Output out(call.isJson);
    json::array lost;
    std::int64_t lines = 0;
    for (const auto& one : saved->lost) {
        lines += one.count;
        lost.push_back(json::object{{"device", one.device.text()}, {"seq", one.seq}, {"count", one.count}});
    }
    out.say(
        counted(saved->lines, "line", "lines") + " and " +
        counted(saved->blobs, "text or picture", "texts or pictures") + " saved to " + target +
        (saved->beside > 0 ? ", " + std::to_string(saved->beside) + " more beside their chain after a hole"
                           : "") +
        (saved->healed > 0 ? ", " + std::to_string(saved->healed) + " of them found in the raw bytes" : "") +
        ". The damaged file was not changed.");
    out.put({{"lines", saved->lines},
             {"beside", saved->beside},
             {"healed", saved->healed},
             {"blobs", saved->blobs},
             {"lost", std::move(lost)},
             {"lost_blobs", saved->lostBlobs},
             {"to", target}});
    for (const auto& one : saved->lost)
        tell("Lost of device " + one.device.text() + ": " + counted(one.count, "line", "lines") + " from " +
             std::to_string(one.seq) + " on.");
    if (saved->lostBlobs > 0)
        tell("Lost: " + counted(saved->lostBlobs, "text or picture", "texts or pictures") + ".");
    if (lines == 0 && saved->lostBlobs == 0)
        return kDone;
    return refuse("What is lost here may be in a backup, a parcel or another device.");
}

int erase(const Call& call, const std::string& initials, const std::string& why) {
    const auto bench = Workbench::forWriting(call);
    if (!bench)
        return refuse(bench.error());
    const auto person = (*bench)->station.findPerson(initials);
    if (!person)
        return refuse(person.error());
    if (!*person)
        return refuse(Error{Code::NotFound, "a person with the initials " + initials});
    const auto saved = (*bench)->amending.erasePerson(**person, why);
    if (!saved)
        return refuse(saved.error());
    Told told{
        "The initials " + initials + " and that person's notes are erased here for good (" +
        counted(static_cast<std::int64_t>(saved->lines.size()), "text", "texts") +
        "), also in the copies beside the journal; other devices erase them when the line gets there. Backups that "
        "were taken elsewhere still hold them."};
    told.members["person"] = (*person)->text();
    told.members["erased"] = saved->lines.size();
    return report(Output(call.isJson), **bench, told);
}

int status(const Call& call) {
    const auto bench = Workbench::forReading(call);
    if (!bench)
        return refuse(bench.error());
    auto& journal = (*bench)->journal();
    Names& names = (*bench)->names;
    const auto chains = journal.file().chains();
    if (!chains)
        return refuse(chains.error());
    const Output out(call.isJson);
    const std::string own = journal.device().text();
    json::object object{{"journal", journal.file().place().database.string()},
                        {"device", own},
                        {"name", names.deviceName(journal.device())},
                        {"lines", journal.head().seq},
                        {"hash", journal::hexOf(journal.head().hash)}};
    out.say("Journal " + journal.file().place().database.string());
    out.say("This device " + own + " (" + names.deviceName(journal.device()) +
            "): " + counted(journal.head().seq, "line", "lines"));

    if (const auto first = journal.file().line(journal.device(), 1); first && *first)
        if (const auto line = journal::parseLine(**first)) {
            if (const auto sample = journal::textIn(line->body, "sample")) {
                out.say("A sample journal: " + std::string(*sample));
                object["sample"] = *sample;
            }
            if (const auto* before = journal::objectIn(line->body, "continues")) {
                out.say("Goes on from " +
                        names.device(std::string(journal::textIn(*before, "device").value_or(""))) +
                        " at its line " + std::to_string(journal::numberIn(*before, "seq").value_or(0)) +
                        ": " + std::string(journal::textIn(*before, "why").value_or("")));
                object["continues"] = *before;
            }
        }
    // What the next writer will find, and say once.
    const auto mark = storage::Mark(journal.file().place().mark()).read();
    const std::int64_t missing = mark && mark->device == own ? mark->head.seq - journal.head().seq : 0;
    object["missing"] = std::max<std::int64_t>(missing, 0);
    if (missing > 0)
        out.say("This journal lacks " + counted(missing, "line that was", "lines that were") +
                " written on this device; with the next line it goes on under a new device id.");
    json::array warnings;
    for (const auto warning : journal.warnings()) {
        out.say(sentenceOf(warning));
        warnings.emplace_back(sentenceOf(warning));
    }
    object["warnings"] = std::move(warnings);
    json::array others;
    for (const auto& chain : *chains) {
        if (chain.device == journal.device())
            continue;
        out.say("Also held: " + names.device(chain.device.text()) + ", " +
                counted(chain.head.seq, "line", "lines") + (chain.jws ? "" : ", unsigned"));
        others.push_back(json::object{{"device", chain.device.text()},
                                      {"name", names.deviceName(chain.device)},
                                      {"lines", chain.head.seq},
                                      {"signed", chain.signedHead.seq}});
    }
    object["others"] = std::move(others);
    const auto doubts = (*bench)->projections().doubts();
    std::int64_t open = 0;
    if (doubts)
        for (const auto& d : *doubts)
            open += d.settled ? 0 : 1;
    out.say(open == 0 ? "Nothing to check." : "To check: " + std::to_string(open) + " (discalctl doubts).");
    object["to_check"] = open;
    out.put(object);
    return kDone;
}

int dump(const Call& call) {
    const auto bench = Workbench::forReading(call);
    if (!bench)
        return refuse(bench.error());
    const auto text = (*bench)->projections().dump();
    if (!text)
        return refuse(text.error());
    const Output out(call.isJson);
    if (!out.isJson()) {
        std::cout << *text;
        return kDone;
    }
    for (std::size_t at = 0; at < text->size();) {
        const auto end = text->find('\n', at);
        json::array fields;
        for (std::size_t from = at; from <= end;) {
            const auto tab = std::min(text->find('\t', from), end);
            fields.emplace_back(text->substr(from, tab - from));
            from = tab + 1;
        }
        json::value table = fields.front();
        fields.erase(fields.begin());
        out.put({{"table", std::move(table)}, {"row", std::move(fields)}});
        at = end + 1;
    }
    return kDone;
}

void addReading(CLI::App& group, Call& call) {
    const auto listing = std::make_shared<Listing>();
    CLI::App& list = addVerb(group, call, "list",
                             "List lines in order: seq, device of others, time, kind, code, words, marks",
                             "journal list --butterfly \"RKD 014\"", On::OwnJournal,
                             [&call, listing] { return listLines(call, *listing); });
    auto* session =
        list.add_flag("--session", listing->isSession, "only this device's open session, or its last one");
    list.add_option("--butterfly", listing->code, "only lines of butterflies that carry or carried this code")
        ->expected(1, 2)
        ->type_name("CODE")
        ->excludes(session);
    list.add_flag("--raw", listing->isRaw, "the stored bytes, a line each (NDJSON)");
    list.add_flag("--ids", listing->hasIds, "the id of each line at its end");

    const auto which = std::make_shared<std::vector<std::string>>();
    addVerb(group, call, "show", "Show a butterfly's whole story, with what was corrected",
            "journal show \"RKD 014\"", On::OwnJournal,
            [&call, which] { return showButterfly(call, *which); })
        .add_option("CODE", *which, "its code or id")
        ->expected(1, 2)
        ->required()
        ->type_name("");

    addVerb(group, call, "status", "Show the device, how many lines, warnings, and whose chains are held",
            "journal status", On::OwnJournal, [&call] { return status(call); });
    addVerb(group, call, "verify", "Check every line of every chain", "journal verify", On::OwnJournal,
            [&call] { return verify(call); });
    addVerb(group, call, "dump", "Print the state that the lines make, ordered, for comparing",
            "journal dump", On::OwnJournal, [&call] { return dump(call); });
}

void addSafety(CLI::App& group, Call& call) {
    const auto target = std::make_shared<std::string>();
    addVerb(group, call, "backup", "Check everything, then copy to a new file; works beside a running writer",
            "journal backup /media/card/meadow-2026-09-05.discal", On::OwnJournal,
            [&call, target] { return backup(call, *target); })
        .add_option("OUT", *target, "a new file")
        ->required()
        ->type_name("");

    const auto saved = std::make_shared<std::string>();
    addVerb(group, call, "salvage", "Save what is whole of a damaged journal into a new one",
            "journal salvage saved.discal --journal damaged.discal", On::OwnJournal,
            [&call, saved] { return salvage(call, *saved); })
        .add_option("OUT", *saved, "a new file")
        ->required()
        ->type_name("");

    addVerb(group, call, "rebuild", "Make the state anew from all lines", "journal rebuild", On::OwnJournal,
            [&call] { return rebuild(call); });

    struct Typed {
        std::string person;
        std::string why;
    };
    const auto typed = std::make_shared<Typed>();
    CLI::App& erases = addVerb(group, call, "erase", "Erase a person's initials and notes for good",
                               "journal erase --person KLM --why \"asked for it\"", On::OwnJournal,
                               [&call, typed] { return erase(call, typed->person, typed->why); });
    erases.add_option("--person", typed->person)->required()->type_name("INITIALS");
    erases.add_option("--why", typed->why)->required()->type_name("TEXT");
}

} // namespace

void addJournalVerbs(CLI::App& app, Call& call) {
    CLI::App& group = addGroup(app, "journal", "All lines: read, check, copy, save");
    addReading(group, call);
    addSafety(group, call);
}

} // namespace discal::cli

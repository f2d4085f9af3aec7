#include "cli/workbench.h"

#include "cli/doubt_words.h"
#include "cli/error_text.h"
#include "cli/line_words.h"
#include "services/system/own_journal.h"

#include <algorithm>
#include <array>
#include <set>
#include <unistd.h>

namespace discal::cli {

namespace json = boost::json;
using journal::Kind;
using storage::Journal;
using storage::NewChain;

namespace {

/// How far back the recorder is looked for. Our choice: more than one session's tail.
constexpr std::int64_t kLookBack = 200;

/// Why a copy could not be made, in a few words: what textOf says of the same errors speaks of lines that were not saved.
std::string reasonOf(const Error& error) {
    switch (error.code) {
    case Code::DiskFull:
        return "the disk is full";
    case Code::ReadOnly:
        return "nothing may be written there";
    case Code::Corrupt:
        return "the journal is damaged: discalctl journal verify";
    case Code::NewerFile:
        return "a newer program made " + error.detail;
    case Code::Busy:
        return "another program reads there";
    default:
        return error.detail.empty() ? "error " + std::to_string(error.number) : error.detail;
    }
}

std::string hostName() {
    std::array<char, 256> name{};
    return ::gethostname(name.data(), name.size() - 1) == 0 ? name.data() : "a computer";
}

} // namespace

Workbench::Workbench(std::unique_ptr<Journal> journal)
    : m_journal(std::move(journal)), writer(*m_journal, m_clock, m_randomness), session(writer, m_positions),
      stock(writer), tagging(writer, session, stock), amending(writer, stock), station(writer),
      copies(*m_journal, m_clock), names(*m_journal) {
    writer.onSaved = [this](const services::SavedLine& line) { m_saved.push_back(line); };
}

Result<std::filesystem::path> journalPath(const Call& call) {
    return call.journal.empty() ? services::ownJournal() : Result<std::filesystem::path>(call.journal);
}

Result<std::unique_ptr<Workbench>> Workbench::forReading(const Call& call) {
    const auto path = journalPath(call);
    if (!path)
        return fail(path.error());
    auto journal = Journal::openForReading(storage::Place(*path));
    if (!journal) {
        if (journal.error().code == Code::NotFound)
            return fail(Code::NotFound, "a journal at " + path->string() +
                                            "; the first butterfly or sheet that is written down begins one");
        return fail(journal.error());
    }
    std::unique_ptr<Workbench> bench(new Workbench(std::move(*journal)));
    if (auto resumed = bench->goOn(); !resumed)
        return fail(resumed.error());
    return bench;
}

Result<std::unique_ptr<Workbench>> Workbench::forWriting(const Call& call) {
    const auto path = journalPath(call);
    if (!path)
        return fail(path.error());
    if (call.journal.empty())
        if (auto made = services::makeFolderFor(*path); !made)
            return fail(made.error());
    Journal::WriteOptions options;
    options.program = "discalctl " + call.verb;
    options.newSeed = [] { return services::SystemRandomness().bytes<32>(); };
    auto journal = Journal::openForWriting(storage::Place(*path), options);
    if (!journal)
        return fail(journal.error());
    std::unique_ptr<Workbench> bench(new Workbench(std::move(*journal)));
    for (const auto warning : bench->journal().warnings())
        tell(sentenceOf(warning));
    if (auto started = bench->startChain(); !started)
        return fail(started.error());
    if (auto resumed = bench->goOn(); !resumed)
        return fail(resumed.error());
    return bench;
}

Result<void> Workbench::startChain() {
    const auto begun = m_journal->newChain();
    if (!begun)
        return {};
    tell(sentenceOf(*begun, m_journal->file().place().database));
    const auto started = writer.ensureStarted({hostName(), "discalctl " DISCAL_VERSION, std::nullopt});
    if (!started)
        return fail(started.error());
    return {};
}

Result<void> Workbench::goOn() {
    if (auto resumed = session.resume(); !resumed)
        return resumed;
    const std::int64_t head = m_journal->head().seq;
    bool isInSession = session.current().has_value();
    for (std::int64_t seq = head; seq > 0 && seq > head - kLookBack && isInSession; --seq) {
        const auto bytes = m_journal->file().line(m_journal->device(), seq);
        if (!bytes)
            return fail(bytes.error());
        const auto line = *bytes ? journal::parseLine(**bytes) : fail(Code::NotFound);
        if (!line)
            continue;
        if (line->by && line->kind.starts_with("butterfly.")) {
            writer.setRecorder(line->by);
            isInSession = false;
        }
        if (journal::kindOf(line->kind) == Kind::SessionOpened)
            isInSession = false;
    }
    return {};
}

void Workbench::putPlacesIntoWords() {
    auto gazetteer = services::openChecked();
    if (!gazetteer)
        return tell("Places are kept without words: the file of place names is missing or damaged (" +
                    reasonOf(gazetteer.error()) + ").");
    m_gazetteer.emplace(std::move(*gazetteer));
    session.placeWords().setNames(&m_gazetteer->names);
}

Result<journal::Amended> Workbench::readBack(const services::SavedLine& line) {
    auto bytes = m_journal->file().line(m_journal->device(), line.seq);
    if (!bytes)
        return fail(bytes.error());
    if (!*bytes)
        return fail(Code::NotFound, "line " + std::to_string(line.seq));
    return projections().amendedLine(journal::makeEntry(m_journal->device(), line.seq, std::move(**bytes)));
}

std::string sentenceOf(const Journal::Continuation& begun, const std::filesystem::path& where) {
    const std::string goesOn = "; it goes on under a new device id, and all lines in it are kept.";
    switch (begun.why) {
    case NewChain::FirstStart:
        return "A new journal was begun: " + where.string();
    case NewChain::KeyMissing:
        return "The key of the device that wrote this journal is not beside it" + goesOn;
    case NewChain::OtherMachine:
        return "This journal was written on another machine" + goesOn;
    case NewChain::Copied:
        return "This journal is a copy or was put back from one" + goesOn;
    case NewChain::BehindMark:
        if (begun.missing > 0)
            return "This journal lacks " + counted(begun.missing, "line that was", "lines that were") +
                   " written on this device; it goes on under a new device id. What is in it is kept; the "
                   "rest may be "
                   "in a backup, a parcel or another device.";
        return "This journal lacks lines that were written on this device" + goesOn;
    case NewChain::OffMark:
        return "In this journal another line stands where this device's last one stood" + goesOn;
    case NewChain::AheadElsewhere:
        return "Lines of this device came from elsewhere that were not in this journal" + goesOn;
    }
    return "This journal goes on under a new device id.";
}

std::string sentenceOf(storage::Warning warning) {
    switch (warning) {
    case storage::Warning::DiskNearlyFull:
        return "The disk is nearly full. What is written is safe; make room before the next field day.";
    case storage::Warning::ReserveUsed:
        return "The disk was full and the reserve was used to save the last line. Make room now.";
    case storage::Warning::ProjectionsAside:
        return "There is no room to keep the state beside the journal, so it is read anew each time. Lines "
               "are safe.";
    }
    return {};
}

std::vector<std::pair<std::string, std::string>> openDoubts(Workbench& bench,
                                                            const std::vector<journal::Uuid>& lines) {
    std::set<std::string> keys;
    for (const auto& line : lines)
        if (const auto marks = bench.projections().marksOf(line))
            keys.insert(marks->begin(), marks->end());
    std::vector<std::pair<std::string, std::string>> out;
    if (keys.empty())
        return out;
    if (const auto doubts = bench.projections().doubts())
        for (const auto& d : *doubts)
            if (keys.contains(d.doubt.key())) {
                std::string sentence = sentenceOf(d.doubt, bench.journal(), bench.names);
                // Whoever has just written the second one looks at it from there.
                if (d.doubt.rule == "code.used-twice" && d.doubt.evidence.size() == 2)
                    sentence = subjectWords(d.doubt.subject, bench.journal(), bench.names) +
                               " is already on another butterfly; both lines are kept and marked.";
                out.emplace_back(d.doubt.key(), std::move(sentence));
            }
    return out;
}

int refuse(const Error& error, Workbench& bench) {
    refuse(error);
    for (const auto& line : bench.saved())
        if (journal::kindOf(line.kind) != Kind::DeviceStarted)
            if (const auto amended = bench.readBack(line))
                tell("Saved before that: " + sentenceOf(amended->line, bench.names) + ".");
    return kRefused;
}

namespace {

void say(const Output& out, Workbench& bench, const Told& told) {
    std::vector<std::string> sentences;
    std::vector<journal::Uuid> lines = told.alsoMarked;
    json::array saved;
    const journal::Uuid lastAct = bench.saved().empty() ? journal::Uuid{} : bench.saved().back().act;
    for (const auto& line : bench.saved()) {
        lines.push_back(line.id);
        saved.push_back(json::object{
            {"seq", line.seq}, {"id", line.id.text()}, {"act", line.act.text()}, {"kind", line.kind}});
        const Kind kind = journal::kindOf(line.kind);
        const auto amended = bench.readBack(line);
        if (!amended)
            continue;
        // What was saved besides, and nobody asked for.
        const bool isInferred = journal::claimIn(amended->line.body, "inferred").value_or(false);
        if (kind == Kind::SessionOpened || (isInferred && kind == Kind::SessionClosed) ||
            (kind == Kind::PersonNamed && line.act != lastAct))
            sentences.push_back(sentenceOf(amended->line, bench.names) + ".");
        else if (isInferred)
            sentences.push_back(codeOf(amended->line, bench.names) + " was still in hand and counts as " +
                                (kind == Kind::ButterflyHeld ? "held in the cage." : "released."));
    }
    sentences.insert(sentences.end(), told.more.begin(), told.more.end());
    const auto doubts = openDoubts(bench, lines);
    if (out.isJson()) {
        json::object object = told.members;
        object["says"] = told.sentence;
        object["saved"] = std::move(saved);
        json::array more;
        for (const auto& sentence : sentences)
            more.emplace_back(sentence);
        object["more"] = std::move(more);
        json::array marks;
        for (const auto& [key, sentence] : doubts)
            marks.push_back(json::object{{"key", key}, {"says", sentence}});
        object["doubts"] = std::move(marks);
        out.put(object);
        return;
    }
    out.say(told.sentence + (bench.saved().empty() ? "" : " Saved; only on this device."));
    for (const auto& sentence : sentences)
        out.say(sentence);
    for (const auto& [key, sentence] : doubts)
        out.say("To check: " + sentence);
}

} // namespace

void keepCopies(Workbench& bench) {
    const bool isOver =
        std::any_of(bench.saved().begin(), bench.saved().end(),
                    [](const auto& line) { return journal::kindOf(line.kind) == Kind::SessionClosed; });
    if (const auto made = isOver ? bench.copies.atSessionEnd() : bench.copies.afterCommit(); !made)
        tell("What was written is saved, but the copy in " + bench.copies.folder().string() +
             " could not be made or brought up to date (" + reasonOf(made.error()) + ").");
}

int report(const Output& out, Workbench& bench, const Told& told) {
    say(out, bench, told);
    keepCopies(bench);
    return kDone;
}

} // namespace discal::cli

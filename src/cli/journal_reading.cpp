#include "cli/journal_reading.h"

#include "cli/doubt_words.h"
#include "cli/line_words.h"
#include "cli/typed.h"
#include "cli/workbench.h"
#include "core/journal/subjects.h"

#include <algorithm>
#include <iostream>
#include <map>
#include <set>

namespace discal::cli {

namespace json = boost::json;
using journal::Entry;
using journal::Kind;

namespace {

/// A line with where it was found: in its chain, or beside it where a chain forked. Keeps its bytes alone,
/// since a season's lines read out as objects need ten times the room.
struct Found {
    explicit Found(Entry&& entry, bool beside = false)
        : order(entry.order()), bytes(std::move(entry.bytes)), isBeside(beside) {}
    [[nodiscard]] Entry entry() const { return journal::makeEntry(order.device, order.seq, bytes); }

    journal::Order order;
    std::string bytes;
    bool isBeside;
};

Result<std::vector<Found>> allLines(Workbench& bench) {
    auto& file = bench.journal().file();
    std::vector<Found> out;
    const auto chains = file.chains();
    if (!chains)
        return fail(chains.error());
    for (const auto& chain : *chains) {
        const auto visited =
            file.visit(chain.device, 1, [&](std::int64_t seq, std::string_view bytes, const auto&) {
                out.emplace_back(journal::makeEntry(chain.device, seq, std::string(bytes)));
                return true;
            });
        if (!visited)
            return fail(visited.error());
    }
    auto forks = file.forks();
    if (!forks)
        return fail(forks.error());
    for (auto& fork : *forks)
        out.emplace_back(journal::makeEntry(fork.device, fork.seq, std::move(fork.line)), true);
    return out;
}

Result<std::vector<Found>> linesOfSession(Workbench& bench) {
    auto lines = allLines(bench);
    if (!lines)
        return lines;
    const auto& own = bench.journal().device();
    std::erase_if(*lines, [&](const Found& f) { return f.order.device != own || f.isBeside; });
    const auto isKind = [](const Found& f, Kind kind) {
        const Entry entry = f.entry();
        return entry.line && journal::kindOf(entry.line->kind) == kind;
    };
    const auto opened = std::find_if(lines->rbegin(), lines->rend(),
                                     [&](const Found& f) { return isKind(f, Kind::SessionOpened); });
    if (opened == lines->rend())
        return std::vector<Found>();
    lines->erase(lines->begin(), std::prev(opened.base()));
    const auto closed = std::find_if(lines->begin(), lines->end(),
                                     [&](const Found& f) { return isKind(f, Kind::SessionClosed); });
    if (closed != lines->end())
        lines->erase(std::next(closed), lines->end());
    return lines;
}

/// The story of one butterfly: its own lines, and what corrects them or takes them back.
Result<std::vector<Found>> linesOf(Workbench& bench, const std::string& butterfly) {
    std::map<journal::Order, Entry> found;
    const auto take = [&](Result<std::vector<Entry>> entries) -> Result<std::vector<Entry>> {
        if (entries)
            for (const Entry& entry : *entries)
                found.try_emplace(entry.order(), entry);
        return entries;
    };
    auto& projections = bench.projections();
    const auto own = take(projections.linesOfSubject(butterfly));
    if (!own)
        return fail(own.error());
    for (const Entry& entry : *own) {
        if (!entry.line)
            continue;
        for (const auto& key :
             {journal::correctionsOf(entry.line->id), journal::withdrawalsOf(entry.line->act)}) {
            const auto amending = take(projections.linesOfSubject(key));
            if (!amending)
                return fail(amending.error());
            for (const Entry& a : *amending)
                if (a.line)
                    if (auto again = take(projections.linesOfSubject(journal::withdrawalsOf(a.line->act)));
                        !again)
                        return fail(again.error());
        }
    }
    std::vector<Found> out;
    for (auto& [order, entry] : found)
        out.emplace_back(std::move(entry));
    return out;
}

Result<std::vector<Found>> linesOfCode(Workbench& bench, const std::string& typed) {
    std::set<std::string> ids;
    if (const auto id = journal::Uuid::parse(typed)) {
        ids.insert(id->text());
    } else {
        const auto code = bench.stock.read(typed);
        if (!code)
            return fail(code.error());
        const auto butterflies = bench.projections().butterfliesWith(code->code.text());
        if (!butterflies)
            return fail(butterflies.error());
        for (const auto& b : *butterflies)
            ids.insert(b.id.text());
        if (ids.empty())
            return fail(Code::NotFound, "a butterfly with " + code->code.text());
    }
    std::vector<Found> out;
    for (const auto& id : ids) {
        auto lines = linesOf(bench, id);
        if (!lines)
            return lines;
        std::move(lines->begin(), lines->end(), std::back_inserter(out));
    }
    return out;
}

struct Marks {
    std::vector<std::string> words;
    json::array keys;
    bool isWithdrawn{false};
    bool isCorrected{false};
    bool needsNewer{false};
};

Marks marksOf(Workbench& bench, const journal::Amended& amended) {
    Marks marks;
    if (amended.isWithdrawn) {
        marks.isWithdrawn = true;
        marks.words.emplace_back("taken back");
    }
    if (!amended.appliedCorrections.empty()) {
        marks.isCorrected = true;
        marks.words.emplace_back("corrected");
    }
    marks.needsNewer = amended.isNewer || amended.needsNewer;
    // Of a line that is itself newer, its words say so.
    if (amended.needsNewer)
        marks.words.emplace_back(kNeedsNewer);
    if (const auto keys = bench.projections().marksOf(amended.line.id))
        for (const auto& key : *keys) {
            marks.words.push_back("to check: " + shortRule(key.substr(0, key.find(' '))));
            marks.keys.emplace_back(key);
        }
    return marks;
}

std::string bracketed(const std::vector<std::string>& words) {
    std::string out;
    for (const auto& word : words)
        out += (out.empty() ? "[" : ", ") + word;
    return out.empty() ? out : out + "]";
}

void print(const Output& out, Workbench& bench, const Found& found, bool hasIds) {
    const Entry entry = found.entry();
    const bool isOwn = entry.device == bench.journal().device();
    json::object object{{"device", entry.device.text()}, {"seq", entry.seq}};
    std::string text =
        column(std::to_string(entry.seq), 5) + column(isOwn ? "" : Names::shortDevice(entry.device), 6);
    if (!entry.line) {
        out.say(text + "(can't be read as a line; kept as it came)");
        object["kind"] = nullptr;
        out.put(object);
        return;
    }
    const auto amended = bench.projections().amendedLine(entry);
    if (!amended)
        return;
    const journal::Line& line = amended->line;
    Marks marks = marksOf(bench, *amended);
    if (found.isBeside)
        marks.words.emplace_back("beside its chain");
    const std::string code = codeOf(line, bench.names);
    const std::string words = wordsOf(line, bench.names);
    text += column(localTime(line.at, line.offset), 17) + column(line.kind, 20) + column(code, 11) + words;
    if (!marks.words.empty())
        text += " " + bracketed(marks.words);
    if (hasIds)
        text += "  " + line.id.text();
    out.say(text);
    object["id"] = line.id.text();
    object["act"] = line.act.text();
    object["kind"] = line.kind;
    object["at"] = time::formatUtc(line.at);
    object["offset_min"] = line.offset.count();
    object["code"] = code;
    object["says"] = words;
    object["by"] = line.by ? json::value(line.by->text()) : json::value();
    object["taken_back"] = marks.isWithdrawn;
    object["corrected"] = marks.isCorrected;
    object["needs_newer"] = marks.needsNewer;
    object["doubts"] = std::move(marks.keys);
    if (found.isBeside)
        object["beside_chain"] = true;
    out.put(object);
}

/// What was corrected in a line: member, old and new value.
void printCorrections(const Output& out, Workbench& bench, const Entry& entry,
                      const journal::Amended& amended, json::object& object) {
    json::array changes;
    for (const auto& member : amended.line.body) {
        const auto* before = entry.line->body.if_contains(member.key());
        if (before != nullptr && *before == member.value())
            continue;
        const json::value was = before == nullptr ? json::value() : *before;
        out.say("        " + std::string(member.key()) + " was " +
                valueWords(member.key(), was, bench.names) + ", is " +
                valueWords(member.key(), member.value(), bench.names));
        changes.push_back(json::object{{"field", member.key()}, {"was", was}, {"is", member.value()}});
    }
    if (amended.line.at != entry.line->at) {
        out.say("        time was " + localTime(entry.line->at, entry.line->offset) + ", is " +
                localTime(amended.line.at, amended.line.offset));
        changes.push_back(json::object{{"field", "at"},
                                       {"was", time::formatUtc(entry.line->at)},
                                       {"is", time::formatUtc(amended.line.at)}});
    }
    if (!changes.empty())
        object["changes"] = std::move(changes);
}

std::string whoWords(Workbench& bench, const journal::Amended& amended) {
    std::string who = bench.names.device(amended.device.text());
    if (amended.line.by)
        who = bench.names.person(amended.line.by->text()) + ", " + who;
    return who;
}

void printStory(const Output& out, Workbench& bench, const butterfly::Butterfly& b,
                const std::vector<Found>& lines) {
    std::vector<std::string> codes;
    for (const auto& c : b.codes) {
        constexpr const char* kBonds[] = {"on its wing", "spoiled", "free again", "read at a recapture"};
        codes.push_back(c.code + " (" + kBonds[static_cast<std::size_t>(c.bond)] + ")");
    }
    out.say((codes.empty() ? "Without a code" : listed(codes)) + "; " + std::string(textOf(b.fate)) +
            (b.isInferred ? " (inferred)" : "") + ", " + (b.sex == "unknown" ? "sex unknown" : b.sex) +
            (b.origin.empty() ? "" : ", " + b.origin) + (b.needsNewer ? ", " + std::string(kNeedsNewer) : ""));
    out.say("  id " + b.id.text());
    for (const auto& [what, place] : {std::pair("taken", &b.taken), std::pair("released", &b.released)})
        if (const auto where = placeWords(*place, bench.names); !where.empty())
            out.say(std::string("  ") + what + " at " + where);
    json::object object{{"butterfly", butterfly::toJson(b)}};
    json::array story;
    for (const Found& found : lines) {
        const Entry entry = found.entry();
        if (!entry.line)
            continue;
        const auto amended = bench.projections().amendedLine(entry);
        if (!amended)
            continue;
        Marks marks = marksOf(bench, *amended);
        // The line as it was written; what it says now follows below it.
        const std::string words = sentenceOf(*entry.line, bench.names);
        out.say("  " + column(localTime(entry.line->at, entry.line->offset), 17) + words + ", by " +
                whoWords(bench, *amended) + (marks.words.empty() ? "" : " " + bracketed(marks.words)));
        json::object line{
            {"id", entry.line->id.text()},     {"device", entry.device.text()},         {"seq", entry.seq},
            {"kind", entry.line->kind},        {"at", time::formatUtc(entry.line->at)}, {"says", words},
            {"taken_back", marks.isWithdrawn}, {"needs_newer", marks.needsNewer},
            {"doubts", std::move(marks.keys)}};
        printCorrections(out, bench, entry, *amended, line);
        out.say("        line " + entry.line->id.text());
        story.push_back(std::move(line));
    }
    object["lines"] = std::move(story);
    out.put(object);
}

} // namespace

int listLines(const Call& call, const Listing& listing) {
    const auto bench = Workbench::forReading(call);
    if (!bench)
        return refuse(bench.error());
    auto lines = listing.isSession      ? linesOfSession(**bench)
                 : listing.code.empty() ? allLines(**bench)
                                        : linesOfCode(**bench, *codeIn(listing.code));
    if (!lines)
        return refuse(lines.error());
    std::sort(lines->begin(), lines->end(), [](const Found& a, const Found& b) { return a.order < b.order; });
    const Output out(call.isJson);
    for (const Found& found : *lines)
        if (listing.isRaw)
            std::cout << found.bytes << '\n';
        else
            print(out, **bench, found, listing.hasIds);
    return kDone;
}

int showButterfly(const Call& call, const std::vector<std::string>& which) {
    const auto bench = Workbench::forReading(call);
    if (!bench)
        return refuse(bench.error());
    const std::string typed = codeIn(which).value_or("");
    std::vector<butterfly::Butterfly> found;
    if (const auto id = journal::Uuid::parse(typed)) {
        const auto b = (*bench)->projections().butterfly(id->text());
        if (!b)
            return refuse(b.error());
        if (*b)
            found.push_back(**b);
    } else {
        const auto code = (*bench)->stock.read(typed);
        if (!code)
            return refuse(code.error());
        auto carriers = (*bench)->projections().butterfliesWith(code->code.text());
        if (!carriers)
            return refuse(carriers.error());
        found = std::move(*carriers);
    }
    if (found.empty())
        return refuse(Error{Code::NotFound, "a butterfly with " + typed});
    const Output out(call.isJson);
    for (const auto& b : found) {
        const auto lines = linesOf(**bench, b.id.text());
        if (!lines)
            return refuse(lines.error());
        printStory(out, **bench, b, *lines);
    }
    return kDone;
}

} // namespace discal::cli

#include "core/tag/sheet.h"

#include "core/journal/subjects.h"

#include <algorithm>
#include <limits>

namespace discal::tag {

namespace json = boost::json;
using journal::Amended;
using journal::Kind;
using journal::textIn;

namespace {

/// Stored text is read strictly: nothing is repaired in a fold, or the same lines could mean something else one day.
Result<Run> storedRun(std::string_view first, std::uint32_t count, std::optional<std::string_view> pattern) {
    const auto code = Code::fromText(first);
    if (!code)
        return fail(code.error());
    const auto scheme = pattern ? Scheme::fromPattern(*pattern) : Result<Scheme>(Scheme::of(*code));
    if (!scheme)
        return fail(scheme.error());
    if (!scheme->admits(*code))
        return fail(discal::Code::NotACode, scheme->legalForm());
    return makeRun(*scheme, scheme->ordinal(*code), count);
}

RunSet setOf(const Run& run) {
    RunSet set;
    set.add(run);
    return set;
}

RunSet held(const Sheet& sheet, const std::string& device) {
    const auto at = sheet.holders.find(device);
    return at == sheet.holders.end() ? RunSet() : at->second;
}

void give(Sheet& sheet, const std::string& device, const RunSet& runs) {
    if (runs.isEmpty())
        return;
    sheet.holders[device].add(runs);
    sheet.ever[device].add(runs);
}

void dropFromAll(Sheet& sheet, const RunSet& runs) {
    for (auto& [device, holding] : sheet.holders)
        holding.remove(runs);
}

/// Remembers that `runs` went from one device to another.
void passOn(Sheet& sheet, const std::string& from, const std::string& to, RunSet runs) {
    // Who is asked for its word a second time (a quarrel of takers) says it anew.
    for (const std::string& had : {from, to}) {
        RunSet back;
        for (Handing& handing : sheet.handings) {
            if (handing.from == had)
                back.add(runs.intersect(handing.runs));
            handing.runs.remove(back);
        }
        if (had == to)
            runs.remove(back);
    }
    if (!runs.isEmpty())
        sheet.handings.push_back({runs, from, to});
    std::erase_if(sheet.handings, [](const Handing& h) { return h.runs.isEmpty(); });
}

void receive(Sheet& sheet, const Run& run, const Amended& event) {
    sheet.receivedLines.push_back(event.line.id);
    const std::string device = event.device.text();
    if (const auto rows = journal::numberIn(event.line.body, "per_row"))
        sheet.perRow = static_cast<int>(std::clamp<std::int64_t>(*rows, 0, 1000));
    if (sheet.receivers.empty()) {
        // A take may have come before in the order; it keeps what it took.
        sheet.run = run;
        RunSet rest = setOf(run);
        for (const auto& [holder, holding] : sheet.holders)
            rest.remove(holding);
        give(sheet, device, rest);
        sheet.ever[device].add(run);
        // Now there is somebody who can say that it was handed over.
        std::vector<Take> placed;
        for (Take& take : sheet.takes) {
            if (!take.from.empty())
                continue;
            const RunSet part = take.runs.intersect(setOf(run));
            take.runs.remove(part);
            if (!part.isEmpty() && take.by != device) {
                placed.push_back({part, take.by, device, take.line});
                // It came before all that the taker did with it.
                sheet.handings.insert(sheet.handings.begin(), {part, device, take.by});
            }
        }
        sheet.takes.insert(sheet.takes.end(), placed.begin(), placed.end());
    } else if (std::find(sheet.receivers.begin(), sheet.receivers.end(), device) == sheet.receivers.end()) {
        sheet.contested.add(run);
        sheet.ever[device].add(run);
    }
    sheet.receivers.push_back(device);
}

void hand(Sheet& sheet, const Run& run, const Amended& event) {
    const std::string giver = event.device.text();
    const auto taker = textIn(event.line.body, "to");
    if (!taker)
        return;
    RunSet rest = setOf(run);
    const RunSet own = rest.intersect(held(sheet, giver));
    sheet.holders[giver].remove(own);
    give(sheet, std::string(*taker), own);
    passOn(sheet, giver, std::string(*taker), own);
    rest.remove(own);
    for (Take& take : sheet.takes) {
        if (take.from != giver)
            continue;
        const RunSet said = take.runs.intersect(setOf(run));
        if (said.isEmpty())
            continue;
        // The one it was taken from says who has it: that settles it, and ends a quarrel of two takers. Where there is
        // none, and it names the one who took, that one may have handed it on meanwhile.
        const RunSet moved = take.by == *taker ? said.intersect(sheet.contested) : said;
        dropFromAll(sheet, moved);
        give(sheet, std::string(*taker), moved);
        passOn(sheet, giver, std::string(*taker), moved);
        sheet.contested.remove(said);
        take.runs.remove(said);
        rest.remove(said);
    }
    if (!rest.isEmpty())
        sheet.handedByOther.push_back(event.line.id);
}

void take(Sheet& sheet, const Run& run, const Amended& event) {
    const std::string taker = event.device.text();
    RunSet wanted = setOf(run);
    wanted.remove(held(sheet, taker));
    RunSet nobodys = wanted;
    std::vector<Take> made;
    for (const auto& [holder, holding] : sheet.holders) {
        const RunSet part = wanted.intersect(holding);
        if (holder == taker || part.isEmpty())
            continue;
        made.push_back({part, taker, holder, event.line.id});
        passOn(sheet, holder, taker, part);
        nobodys.remove(part);
    }
    if (!nobodys.isEmpty())
        made.push_back({nobodys, taker, "", event.line.id});
    for (std::size_t i = 0; i < made.size(); ++i)
        for (const Take& earlier : sheet.takes) {
            const RunSet both = made[i].runs.intersect(earlier.runs);
            if (earlier.by == taker || both.isEmpty())
                continue;
            sheet.contested.add(both);
            if (made[i].from != earlier.by)
                continue;
            // Whose word settles it is the one that it was first taken from; of the rest, the one that held it.
            Take rest = made[i];
            rest.runs.remove(both);
            if (!rest.runs.isEmpty())
                made.push_back(rest);
            made[i].runs = both;
            made[i].from = earlier.from;
        }
    dropFromAll(sheet, wanted);
    give(sheet, taker, wanted);
    sheet.takes.insert(sheet.takes.end(), made.begin(), made.end());
}

json::array toJson(const RunSet& set) {
    json::array out;
    for (const Run& run : set.runs())
        out.push_back(json::array{run.scheme.pattern(), run.at(0).text(), run.count});
    return out;
}

Result<Run> runFromRow(const json::array& row) {
    return storedRun(row.at(1).as_string(), static_cast<std::uint32_t>(row.at(2).to_number<std::int64_t>()),
                     std::string_view(row.at(0).as_string()));
}

RunSet runSetFromJson(const json::value& value) {
    RunSet set;
    for (const auto& item : value.as_array()) {
        const auto& row = item.as_array();
        if (const auto run = runFromRow(row))
            set.add(*run);
    }
    return set;
}

json::object toJson(const std::map<std::string, RunSet>& sets) {
    json::object out;
    for (const auto& [device, set] : sets)
        if (!set.isEmpty())
            out[device] = toJson(set);
    return out;
}

std::map<std::string, RunSet> setsFromJson(const json::object& object) {
    std::map<std::string, RunSet> out;
    for (const auto& member : object)
        out[std::string(member.key())] = runSetFromJson(member.value());
    return out;
}

} // namespace

std::string Sheet::holderOf(const Code& code) const {
    if (contested.contains(code))
        return {};
    for (const auto& [device, holding] : holders)
        if (holding.contains(code))
            return device;
    return {};
}

bool Sheet::contains(const Code& code) const {
    if (run)
        return run->contains(code);
    return std::any_of(holders.begin(), holders.end(), [&](const auto& h) { return h.second.contains(code); });
}

bool Sheet::isTaken(const Code& code) const {
    return std::any_of(takes.begin(), takes.end(), [&](const Take& t) { return t.runs.contains(code); });
}

std::map<std::string, RunSet> Sheet::giversOf(const RunSet& runs, const std::string& device) const {
    std::map<std::string, RunSet> out;
    for (const Handing& handing : handings)
        if (const RunSet part = handing.runs.intersect(runs); handing.to == device && !part.isEmpty())
            out[handing.from].add(part);
    return out;
}

void step(Sheet& sheet, const Amended& event) {
    sheet.last = event.order;
    sheet.lines.push_back(event.line.id);
    sheet.needsNewer |= event.isNewer || event.needsNewer;
    if (event.isNewer || event.isWithdrawn)
        return;
    const auto run = runIn(event.line.body);
    if (!run)
        return;
    if (event.kind == Kind::SheetReceived)
        receive(sheet, *run, event);
    else if (event.kind == Kind::SheetHanded)
        hand(sheet, *run, event);
    else if (event.kind == Kind::SheetTaken)
        take(sheet, *run, event);
}

json::object toJson(const Sheet& sheet) {
    json::object out;
    out["id"] = sheet.id.text();
    if (sheet.run)
        out["run"] = json::array{sheet.run->scheme.pattern(), sheet.run->at(0).text(), sheet.run->count};
    if (sheet.perRow > 0)
        out["per_row"] = sheet.perRow;
    json::array receivers;
    for (const auto& r : sheet.receivers)
        receivers.emplace_back(r);
    out["receivers"] = std::move(receivers);
    out["holders"] = toJson(sheet.holders);
    out["ever"] = toJson(sheet.ever);
    if (!sheet.contested.isEmpty())
        out["contested"] = toJson(sheet.contested);
    json::array takes;
    for (const Take& t : sheet.takes)
        takes.push_back(
            json::object{{"runs", toJson(t.runs)}, {"by", t.by}, {"from", t.from}, {"line", t.line.text()}});
    if (!takes.empty())
        out["takes"] = std::move(takes);
    json::array handings;
    for (const Handing& h : sheet.handings)
        handings.push_back(json::object{{"runs", toJson(h.runs)}, {"from", h.from}, {"to", h.to}});
    if (!handings.empty())
        out["handings"] = std::move(handings);
    out["received_lines"] = journal::idsToJson(sheet.receivedLines);
    if (!sheet.handedByOther.empty())
        out["handed_by_other"] = journal::idsToJson(sheet.handedByOther);
    if (sheet.needsNewer)
        out["needs_newer"] = true;
    out["lines"] = journal::idsToJson(sheet.lines);
    out["last"] = journal::orderToJson(sheet.last);
    return out;
}

Sheet sheetFromJson(const json::object& story) {
    Sheet sheet;
    sheet.id = journal::idIn(story, "id").value_or(journal::Uuid{});
    if (const auto* run = story.if_contains("run")) {
        if (const auto parsed = runFromRow(run->as_array()))
            sheet.run = *parsed;
    }
    sheet.perRow = static_cast<int>(journal::numberIn(story, "per_row").value_or(0));
    if (const auto* receivers = story.if_contains("receivers"))
        for (const auto& r : receivers->as_array())
            sheet.receivers.emplace_back(std::string_view(r.as_string()));
    if (const auto* holders = journal::objectIn(story, "holders"))
        sheet.holders = setsFromJson(*holders);
    if (const auto* ever = journal::objectIn(story, "ever"))
        sheet.ever = setsFromJson(*ever);
    if (const auto* contested = story.if_contains("contested"))
        sheet.contested = runSetFromJson(*contested);
    if (const auto* takes = story.if_contains("takes"))
        for (const auto& item : takes->as_array()) {
            const auto& t = item.as_object();
            sheet.takes.push_back({runSetFromJson(t.at("runs")), std::string(textIn(t, "by").value_or("")),
                                   std::string(textIn(t, "from").value_or("")),
                                   journal::idIn(t, "line").value_or(journal::Uuid{})});
        }
    if (const auto* handings = story.if_contains("handings"))
        for (const auto& item : handings->as_array()) {
            const auto& h = item.as_object();
            sheet.handings.push_back({runSetFromJson(h.at("runs")),
                                      std::string(textIn(h, "from").value_or("")),
                                      std::string(textIn(h, "to").value_or(""))});
        }
    sheet.receivedLines = journal::idsIn(story, "received_lines");
    sheet.handedByOther = journal::idsIn(story, "handed_by_other");
    sheet.needsNewer = journal::claimIn(story, "needs_newer").value_or(false);
    sheet.lines = journal::idsIn(story, "lines");
    sheet.last = journal::orderIn(story, "last");
    return sheet;
}

Result<Run> runIn(const json::object& body) {
    const auto first = textIn(body, "first");
    if (!first)
        return fail(discal::Code::MissingMember, "first");
    const std::int64_t count = journal::numberIn(body, "count").value_or(1);
    if (count < 1 || count > kMaxRunLength)
        return fail(discal::Code::OutOfRange, "count");
    return storedRun(*first, static_cast<std::uint32_t>(count), textIn(body, "scheme"));
}

} // namespace discal::tag

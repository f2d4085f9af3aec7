#include "core/doubt/rules.h"
#include "core/journal/subjects.h"
#include "storage/projections_batch.h"
#include "storage/sqlite_errors.h"

#include <SQLiteCpp/SQLiteCpp.h>
#include <algorithm>

namespace discal::storage {

namespace json = boost::json;
using butterfly::Butterfly;
using journal::Amended;
using journal::Entry;
using journal::Kind;
using journal::Order;
using journal::Record;
using journal::RecordType;
using journal::Uuid;
using tag::Sheet;

namespace {

/// Shape and hundred of a code: sheets register for those that they cover.
std::string blockOf(const tag::Code& code) {
    const std::string& text = code.text();
    return text.substr(0, text.size() - std::min<std::size_t>(2, code.digits().size())) + "#" +
           std::to_string(text.size());
}

std::vector<tag::Run> coverOf(const Sheet& sheet) {
    if (sheet.run)
        return {*sheet.run};
    std::vector<tag::Run> runs;
    for (const auto& [device, holding] : sheet.holders)
        for (const tag::Run& run : holding.runs())
            runs.push_back(run);
    return runs;
}

std::set<std::string> blocksOf(const Sheet& sheet) {
    std::set<std::string> blocks;
    for (const tag::Run& run : coverOf(sheet)) {
        for (std::uint32_t i = 0; i < run.count; i += 10)
            blocks.insert(blockOf(run.at(i)));
        blocks.insert(blockOf(run.last()));
    }
    return blocks;
}

} // namespace

void Projections::dropSheet(const std::string& key) {
    m_sheets.erase(key);
    for (const char* sql : {"DELETE FROM sheet WHERE id = ?", "DELETE FROM holding WHERE sheet = ?",
                            "DELETE FROM sheet_block WHERE sheet = ?"}) {
        auto& drop = prepared(sql);
        drop.bindNoCopy(1, key);
        drop.exec();
    }
    writeDoubts(key, {});
}

void Projections::forgetOtherNouns(const std::string& key, std::string_view kind, Batch& batch) {
    const Noun noun = nounOf(kind);
    if (const auto row = loadButterfly(key); row && noun != Noun::Butterfly) {
        for (const auto& carried : row->codes)
            batch.codes.insert(carried.code);
        Butterfly none;
        none.id = row->id;
        storeButterfly(none, row->codes);
        batch.butterflies.erase(key);
        batch.changedButterflies.erase(key);
    }
    if (const auto sheet = loadSheet(key); sheet && noun != Noun::Sheet) {
        markNeighbours(*sheet, batch);
        dropSheet(key);
    }
    auto& drop = prepared("DELETE FROM record WHERE key = ? AND type <> ?");
    drop.bindNoCopy(1, key);
    drop.bind(2, noun == Noun::Record ? std::string(textOf(*journal::recordTypeOf(kind))) : std::string());
    drop.exec();
}

void Projections::fold(const std::string& key, Batch& batch) {
    std::vector<Amended> events;
    std::optional<Noun> noun;
    std::string nounKind;
    bool isMistaken = false;
    for (const Entry& entry : entriesTouching(key)) {
        if (!entry.line)
            continue;
        Amended event = journal::amended(entry, *this);
        if (const Noun said = nounOf(entry.line->kind);
            said != Noun::Other && !entry.line->about.empty() && entry.line->about.front().text() == key) {
            isMistaken |= noun && (said != *noun ||
                                   journal::recordTypeOf(entry.line->kind) != journal::recordTypeOf(nounKind));
            if (!noun) {
                noun = said;
                nounKind = entry.line->kind;
            }
        }
        if ((event.isWithdrawn && !event.needsNewer) || (isAmending(event.kind) && !event.isNewer))
            continue;
        const auto keys = journal::subjectsOf(event.line, event.device, event.line.body);
        if (std::find(keys.begin(), keys.end(), key) != keys.end())
            events.push_back(std::move(event));
    }
    std::sort(events.begin(), events.end(), [](const Amended& a, const Amended& b) { return a.order < b.order; });

    if (key.starts_with("device ") || key == journal::kStationSubject) {
        Record record;
        record.key = key;
        for (const Amended& event : events)
            journal::step(record, event);
        storeRecord(key == journal::kStationSubject ? RecordType::Station : RecordType::Device, record);
        return;
    }
    if (!noun)
        return;  // only lines that we don't understand speak of it
    // Lines that disagree on what it is: the first in the order says, and rows made before that one came must go.
    if (isMistaken)
        forgetOtherNouns(key, nounKind, batch);
    switch (*noun) {
    case Noun::Butterfly: {
        std::vector<butterfly::Carried> before;
        if (const auto row = loadButterfly(key))
            before = row->codes;
        for (const auto& carried : before)
            batch.codes.insert(carried.code);
        batch.butterflies.erase(key);
        batch.changedButterflies.erase(key);
        // Its noting was taken back: a mark that is left has nobody to stand on.
        if (std::all_of(events.begin(), events.end(),
                        [](const Amended& event) { return event.kind == Kind::TagCompared; }))
            events.clear();
        Butterfly butterfly;
        butterfly.id = need(Uuid::parse(key));
        for (const Amended& event : events)
            butterfly::step(butterfly, event);
        for (const auto& carried : butterfly.codes)
            batch.codes.insert(carried.code);
        storeButterfly(butterfly, before);
        break;
    }
    case Noun::Sheet: {
        if (const auto before = loadSheet(key))
            markNeighbours(*before, batch);
        m_sheets.erase(key);
        Sheet sheet;
        sheet.id = need(Uuid::parse(key));
        for (const Amended& event : events)
            tag::step(sheet, event);
        auto& forget = prepared("DELETE FROM sheet_block WHERE block IN (SELECT block FROM sheet_block "
                                "WHERE sheet = ?1) AND sheet = ?1");
        forget.bindNoCopy(1, key);
        forget.exec();
        if (sheet.lines.empty()) {
            dropSheet(key);
            break;
        }
        const auto cover = coverOf(sheet);
        auto& put = prepared("INSERT INTO sheet (id, first, story) VALUES (?, ?, ?) "
                             "ON CONFLICT (id) DO UPDATE SET first = excluded.first, story = excluded.story");
        put.bindNoCopy(1, key);
        put.bind(2, cover.empty() ? std::string() : cover.front().at(0).text());
        put.bind(3, json::serialize(tag::toJson(sheet)));
        put.exec();
        for (const std::string& block : blocksOf(sheet)) {
            auto& insert = prepared("INSERT INTO sheet_block (block, sheet) VALUES (?, ?) ON CONFLICT DO NOTHING");
            insert.bindNoCopy(1, block);
            insert.bindNoCopy(2, key);
            insert.exec();
        }
        batch.sheets.insert(key);
        markNeighbours(sheet, batch);
        break;
    }
    case Noun::Record: {
        if (journal::recordTypeOf(nounKind) == RecordType::Station)
            break;  // there is one station, kept under its own key
        Record record;
        record.key = key;
        for (const Amended& event : events)
            journal::step(record, event);
        storeRecord(*journal::recordTypeOf(nounKind), record);
        break;
    }
    case Noun::Other:
        break;
    }
}

std::set<std::string> Projections::neighboursOf(const Sheet& sheet) {
    std::set<std::string> ids;
    for (const std::string& block : blocksOf(sheet)) {
        auto& others = prepared("SELECT sheet FROM sheet_block WHERE block = ?");
        others.bindNoCopy(1, block);
        while (others.executeStep())
            ids.insert(others.getColumn(0).getString());
    }
    return ids;
}

/// What a sheet's state is an input of: the tags in its range, the doubts of sheets that share codes with it.
void Projections::markNeighbours(const Sheet& sheet, Batch& batch) {
    batch.sheets.merge(neighboursOf(sheet));
    for (const tag::Run& run : coverOf(sheet)) {
        auto& tags = prepared("SELECT code FROM tag WHERE code BETWEEN ? AND ?");
        tags.bind(1, run.at(0).text());
        tags.bind(2, run.last().text());
        while (tags.executeStep())
            batch.codes.insert(tags.getColumn(0).getString());
    }
}

void Projections::deriveSheet(const std::string& id) {
    const auto sheet = loadSheet(id);
    if (!sheet)
        return;
    doubt::Doubts doubts = doubt::about(*sheet);
    // One piece of paper entered on two phones has two ids: it shows by the codes that both contain.
    std::vector<Uuid> evidence;
    for (const std::string& key : neighboursOf(*sheet))
        if (const auto other = loadSheet(key);
            other && key != id && sheet->run && other->run && sheet->run->intersect(*other->run))
            evidence.insert(evidence.end(), other->receivedLines.begin(), other->receivedLines.end());
    if (!evidence.empty()) {
        evidence.insert(evidence.end(), sheet->receivedLines.begin(), sheet->receivedLines.end());
        doubts.push_back({"sheet.overlaps", id, doubt::Severity::CannotBeRight, evidence});
    }
    writeDoubts(id, doubts);
    auto& forget = prepared("DELETE FROM holding WHERE sheet = ?");
    forget.bindNoCopy(1, id);
    forget.exec();
    for (const auto& [device, holding] : sheet->holders) {
        if (holding.isEmpty())
            continue;
        auto& insert = prepared("INSERT INTO holding (device, lamport, sheet) VALUES (?, ?, ?)");
        insert.bindNoCopy(1, device);
        insert.bind(2, sheet->last.lamport);
        insert.bindNoCopy(3, id);
        insert.exec();
    }
}

std::vector<Sheet> Projections::sheetsContaining(const tag::Code& code) {
    std::vector<std::string> ids;
    auto& select = prepared("SELECT sheet FROM sheet_block WHERE block = ?");
    select.bind(1, blockOf(code));
    while (select.executeStep())
        ids.push_back(select.getColumn(0).getString());
    std::vector<Sheet> out;
    for (const std::string& id : ids)
        if (auto sheet = loadSheet(id); sheet && sheet->contains(code))
            out.push_back(std::move(*sheet));
    return out;
}

tag::TagState Projections::tagStateOf(const tag::Code& code, Batch* batch, bool* isNamed) {
    tag::TagEvidence evidence;
    evidence.sheets = sheetsContaining(code);
    std::vector<std::string> ids;
    auto& carriers = prepared("SELECT butterfly FROM carried WHERE code = ? ORDER BY butterfly");
    carriers.bindNoCopy(1, code.text());
    while (carriers.executeStep())
        ids.push_back(carriers.getColumn(0).getString());
    for (const std::string& id : ids) {
        const auto cached = batch != nullptr ? batch->butterflies.find(id) : decltype(batch->butterflies.end()){};
        if (batch != nullptr && cached != batch->butterflies.end())
            evidence.butterflies.push_back(cached->second);
        else if (auto row = loadButterfly(id))
            evidence.butterflies.push_back(std::move(*row));
    }
    const std::string subject = journal::codeSubject(code.text());
    const auto entries = entriesTouching(subject);
    if (isNamed != nullptr)
        *isNamed = !ids.empty() || !entries.empty();
    for (const Entry& entry : entries) {
        if (!entry.line)
            continue;
        Amended event = journal::amended(entry, *this);
        evidence.needsNewer |= event.needsNewer;
        const auto keys = journal::subjectsOf(event.line, event.device, event.line.body);
        if (!event.isWithdrawn && std::find(keys.begin(), keys.end(), subject) != keys.end())
            evidence.lines.push_back(std::move(event));
    }
    return tag::tagState(code, evidence);
}

void Projections::deriveCode(const std::string& text, Batch& batch) {
    const auto code = tag::Code::fromText(text);
    if (!code)
        return;
    bool isNamed = false;
    const tag::TagState state = tagStateOf(*code, &batch, &isNamed);
    // Whether there is a row depends on what names the code and on nothing else, or else what is changed later (its
    // sheet needs a newer Discal ...) would find a row or not by the order of arrival.
    if (!isNamed) {
        auto& drop = prepared("DELETE FROM tag WHERE code = ?");
        drop.bindNoCopy(1, text);
        drop.exec();
    } else {
        auto& put = prepared("INSERT INTO tag (code, fate, holder, in_stock, needs_newer) VALUES (?, ?, ?, ?, ?) "
                             "ON CONFLICT (code) DO UPDATE SET fate = excluded.fate, holder = excluded.holder, "
                             "in_stock = excluded.in_stock, needs_newer = excluded.needs_newer");
        put.bindNoCopy(1, text);
        put.bind(2, std::string(textOf(state.fate)));
        put.bind(3, state.holder);
        put.bind(4, state.isInStock ? 1 : 0);
        put.bind(5, state.needsNewer ? 1 : 0);
        put.exec();
    }
    writeDoubts(journal::codeSubject(text), doubt::about(state));
}

void Projections::loadRoles() {
    std::vector<Amended> lines;
    /// Who decides about roles can't depend on roles: only a device's own withdrawals count here.
    class OwnOnly : public journal::Amendments {
    public:
        explicit OwnOnly(Projections& p) : m_projections(p) {}
        std::vector<Entry> correctionsOf(const Uuid&) override { return {}; }
        std::vector<Entry> withdrawalsOf(const Uuid& act) override { return m_projections.withdrawalsOf(act); }
        bool isOffice(const journal::DeviceId&, const Order&) override { return false; }

    private:
        Projections& m_projections;
    } ownOnly(*this);
    for (const Entry& entry : entriesTouching(std::string(journal::kRolesSubject)))
        if (entry.line)
            if (Amended event = journal::amended(entry, ownOnly); !event.isWithdrawn)
                lines.push_back(std::move(event));
    m_roles = station::Roles::from(std::move(lines));
}

void Projections::deriveRoles(Batch& batch) {
    const station::Roles before = m_roles;
    loadRoles();
    writeDoubts(std::string(journal::kRolesSubject), doubt::about(m_roles));
    if (m_roles == before)
        return;
    // Whose word counts has changed: everything that was amended or settled is read anew.
    std::vector<std::string> keys;
    auto& amending = prepared("SELECT DISTINCT key FROM touch WHERE (key >= 'line ' AND key < 'line!') "
                              "OR (key >= 'act ' AND key < 'act!') OR (key >= 'doubt ' AND key < 'doubt!')");
    while (amending.executeStep())
        keys.push_back(amending.getColumn(0).getString());
    for (const std::string& key : keys) {
        if (key.starts_with("doubt ")) {
            batch.doubtKeys.insert(key.substr(6));
            continue;
        }
        for (const Entry& entry : entriesTouching(key))
            disturb(entry, batch);
    }
}

} // namespace discal::storage

#include "core/doubt/rules.h"
#include "core/journal/subjects.h"
#include "storage/projections.h"
#include "storage/sqlite_errors.h"

#include <SQLiteCpp/SQLiteCpp.h>
#include <algorithm>

namespace discal::storage {

namespace json = boost::json;
using butterfly::Butterfly;
using journal::Amended;
using journal::Entry;
using journal::Order;
using journal::Record;
using journal::RecordType;
using journal::Uuid;
using tag::Sheet;

namespace {

json::object parsedStory(const SQLite::Column& column) {
    return json::parse(std::string_view(column.getText(), static_cast<std::size_t>(column.getBytes()))).as_object();
}

} // namespace

// Doubts ------------------------------------------------------------------------------------------------------

std::optional<std::string> Projections::settlementOf(const std::string& key, const std::vector<Uuid>& evidence) {
    std::vector<Entry> standing;
    for (Entry& entry : entriesTouching(journal::doubtSubject(key))) {
        if (!entry.line || !isOffice(entry.device, entry.order()))
            continue;
        if (const Amended event = journal::amended(entry, *this); !event.isWithdrawn && !event.isNewer)
            standing.push_back(std::move(entry));
    }
    std::sort(standing.begin(), standing.end(), [](const Entry& a, const Entry& b) { return a.order() < b.order(); });
    for (const Entry& entry : standing) {
        const bool isReplaced = std::any_of(standing.begin(), standing.end(), [&](const Entry& other) {
            const auto over = journal::idsIn(other.line->body, "over");
            return entry.order() < other.order() && std::find(over.begin(), over.end(), entry.line->id) != over.end();
        });
        if (isReplaced)
            continue;
        const auto seen = journal::idsIn(entry.line->body, "evidence");
        const bool covers = std::all_of(evidence.begin(), evidence.end(), [&](const Uuid& id) {
            return std::find(seen.begin(), seen.end(), id) != seen.end();
        });
        if (covers)
            return std::string(journal::textIn(entry.line->body, "choice").value_or(""));
    }
    return std::nullopt;
}

void Projections::writeDoubts(const std::string& subject, const doubt::Doubts& doubts) {
    std::vector<std::string> old;
    auto& select = prepared("SELECT key FROM doubt WHERE subject = ?");
    select.bindNoCopy(1, subject);
    while (select.executeStep())
        old.push_back(select.getColumn(0).getString());
    for (const std::string& key : old) {
        json::value evidence;
        {
            auto& row = prepared("SELECT evidence FROM doubt WHERE key = ?");
            row.bindNoCopy(1, key);
            if (row.executeStep())
                evidence = json::parse(row.getColumn(0).getString());
            row.tryReset();
        }
        if (evidence.is_array())
            for (const auto& line : evidence.as_array()) {
                auto& unmark = prepared("DELETE FROM doubt_line WHERE line = ? AND key = ?");
                unmark.bind(1, std::string(line.as_string()));
                unmark.bindNoCopy(2, key);
                unmark.exec();
            }
        auto& drop = prepared("DELETE FROM doubt WHERE key = ?");
        drop.bindNoCopy(1, key);
        drop.exec();
    }
    for (const doubt::Doubt& d : doubts) {
        std::vector<Uuid> evidence = d.evidence;
        std::sort(evidence.begin(), evidence.end());
        evidence.erase(std::unique(evidence.begin(), evidence.end()), evidence.end());
        const std::string key = d.key();
        auto& insert = prepared("INSERT INTO doubt (key, rule, subject, severity, evidence) VALUES (?, ?, ?, ?, ?) "
                                "ON CONFLICT (key) DO UPDATE SET evidence = excluded.evidence");
        insert.bind(1, key);
        insert.bind(2, d.rule);
        insert.bind(3, d.subject);
        insert.bind(4, std::string(textOf(d.severity)));
        insert.bind(5, json::serialize(journal::idsToJson(evidence)));
        insert.exec();
        for (const Uuid& line : evidence) {
            auto& mark = prepared("INSERT INTO doubt_line (line, key) VALUES (?, ?) ON CONFLICT DO NOTHING");
            mark.bind(1, line.text());
            mark.bindNoCopy(2, key);
            mark.exec();
        }
        resettle(key);
    }
}

void Projections::resettle(const std::string& key) {
    std::vector<Uuid> evidence;
    {
        auto& row = prepared("SELECT evidence FROM doubt WHERE key = ?");
        row.bindNoCopy(1, key);
        if (!row.executeStep()) {
            row.tryReset();
            return;
        }
        evidence = journal::idsIn(json::object{{"ids", json::parse(row.getColumn(0).getString())}}, "ids");
        row.tryReset();
    }
    const auto settled = settlementOf(key, evidence);
    auto& update = prepared("UPDATE doubt SET settled = ? WHERE key = ?");
    if (settled)
        update.bind(1, *settled);
    else
        update.bind(1);
    update.bindNoCopy(2, key);
    update.exec();
}

// Rows --------------------------------------------------------------------------------------------------------

std::optional<Butterfly> Projections::loadButterfly(const std::string& id) {
    auto& select = prepared("SELECT story FROM butterfly WHERE id = ?");
    select.bindNoCopy(1, id);
    std::optional<Butterfly> out;
    if (select.executeStep())
        out = butterfly::fromJson(parsedStory(select.getColumn(0)));
    select.tryReset();
    return out;
}

void Projections::storeButterfly(const Butterfly& b, const std::vector<butterfly::Carried>& before) {
    storeCarried(b, before);
    storeStory(b, b.lines.empty() ? std::string() : json::serialize(butterfly::toJson(b)));
}

void Projections::storeCarried(const Butterfly& b, const std::vector<butterfly::Carried>& before) {
    const std::string id = b.id.text();
    for (const auto& old : before) {
        const bool isKept = std::any_of(b.codes.begin(), b.codes.end(),
                                        [&](const auto& carried) { return carried.code == old.code; });
        if (isKept && !b.lines.empty())
            continue;
        auto& drop = prepared("DELETE FROM carried WHERE code = ? AND butterfly = ?");
        drop.bindNoCopy(1, old.code);
        drop.bindNoCopy(2, id);
        drop.exec();
    }
    if (b.lines.empty()) {
        writeDoubts(id, {});
        return;
    }
    for (const auto& carried : b.codes) {
        if (std::find(before.begin(), before.end(), carried) != before.end())
            continue;
        auto& carry = prepared("INSERT INTO carried (code, butterfly, bond) VALUES (?, ?, ?) "
                               "ON CONFLICT (code, butterfly) DO UPDATE SET bond = excluded.bond");
        carry.bindNoCopy(1, carried.code);
        carry.bindNoCopy(2, id);
        carry.bind(3, std::string(textOf(carried.bond)));
        carry.exec();
    }
    writeDoubts(id, doubt::about(b));
}

void Projections::storeStory(const Butterfly& b, const std::string& story) {
    const std::string id = b.id.text();
    if (b.lines.empty()) {
        auto& drop = prepared("DELETE FROM butterfly WHERE id = ?");
        drop.bindNoCopy(1, id);
        drop.exec();
        return;
    }
    auto& put = prepared("INSERT INTO butterfly (id, fate, code, session, cage, noted_at, story) "
                         "VALUES (?, ?, ?, ?, ?, ?, ?) ON CONFLICT (id) DO UPDATE SET fate = excluded.fate, "
                         "code = excluded.code, session = excluded.session, cage = excluded.cage, "
                         "noted_at = excluded.noted_at, story = excluded.story");
    put.bindNoCopy(1, id);
    put.bind(2, std::string(textOf(b.fate)));
    if (const auto code = b.currentCode())
        put.bind(3, *code);
    else
        put.bind(3);
    put.bindNoCopy(4, b.session);
    put.bindNoCopy(5, b.cage);
    put.bindNoCopy(6, b.notedAt);
    put.bindNoCopy(7, story);
    put.exec();
}

std::optional<Sheet> Projections::loadSheet(const std::string& id) {
    // The sheet in use is asked for with every tap.
    if (const auto known = m_sheets.find(id); known != m_sheets.end())
        return known->second;
    auto& select = prepared("SELECT story FROM sheet WHERE id = ?");
    select.bindNoCopy(1, id);
    std::optional<Sheet> out;
    if (select.executeStep())
        out = tag::sheetFromJson(parsedStory(select.getColumn(0)));
    select.tryReset();
    if (out) {
        constexpr std::size_t kMostSheets = 32;
        if (m_sheets.size() >= kMostSheets)
            m_sheets.clear();
        m_sheets.emplace(id, *out);
    }
    return out;
}

std::optional<Record> Projections::loadRecord(RecordType type, const std::string& key) {
    auto& select = prepared("SELECT story FROM record WHERE type = ? AND key = ?");
    select.bind(1, std::string(textOf(type)));
    select.bindNoCopy(2, key);
    std::optional<Record> out;
    if (select.executeStep())
        out = journal::recordFromJson(parsedStory(select.getColumn(0)));
    select.tryReset();
    return out;
}

void Projections::storeRecord(RecordType type, const Record& record) {
    if (record.lines.empty()) {
        auto& drop = prepared("DELETE FROM record WHERE type = ? AND key = ?");
        drop.bind(1, std::string(textOf(type)));
        drop.bindNoCopy(2, record.key);
        drop.exec();
        return;
    }
    auto& put = prepared("INSERT INTO record (type, key, story) VALUES (?, ?, ?) "
                         "ON CONFLICT (type, key) DO UPDATE SET story = excluded.story");
    put.bind(1, std::string(textOf(type)));
    put.bindNoCopy(2, record.key);
    put.bind(3, json::serialize(journal::toJson(record)));
    put.exec();
}

// Lines -------------------------------------------------------------------------------------------------------

Entry Projections::readEntry(std::int64_t chain, std::int64_t seq) {
    const ChainRow& row = m_chains.at(static_cast<std::size_t>(chain - 1));
    auto line = row.branch.empty() ? need(m_journal.line(row.device, seq))
                                   : need(m_journal.forkLine(row.device, seq, row.branch));
    if (!line)
        throw Failure({Code::Corrupt, row.device.text(), seq});
    return journal::makeEntry(row.device, seq, std::move(*line));
}

std::vector<Entry> Projections::entriesTouching(const std::string& key) {
    std::vector<std::pair<std::int64_t, std::int64_t>> places;
    auto& select = prepared("SELECT chain, seq FROM touch WHERE key = ?");
    select.bindNoCopy(1, key);
    while (select.executeStep())
        places.emplace_back(select.getColumn(0).getInt64(), select.getColumn(1).getInt64());
    select.tryReset();
    std::vector<Entry> out;
    out.reserve(places.size());
    for (const auto& [chain, seq] : places)
        out.push_back(readEntry(chain, seq));
    // Chains are numbered as they arrived: where lamports are equal that must not show.
    std::stable_sort(out.begin(), out.end(), [](const Entry& a, const Entry& b) { return a.order() < b.order(); });
    return out;
}

bool Projections::isTouched(const std::string& key) {
    auto& select = prepared("SELECT 1 FROM touch WHERE key = ? LIMIT 1");
    select.bindNoCopy(1, key);
    const bool is = select.executeStep();
    select.tryReset();
    return is;
}

bool Projections::isTouchedTwice(const std::string& key) {
    auto& select = prepared("SELECT count(*) FROM (SELECT 1 FROM touch WHERE key = ? LIMIT 2)");
    select.bindNoCopy(1, key);
    select.executeStep();
    const bool is = select.getColumn(0).getInt() == 2;
    select.tryReset();
    return is;
}

std::vector<Entry> Projections::correctionsOf(const Uuid& line) {
    return entriesTouching(journal::correctionsOf(line));
}

std::vector<Entry> Projections::withdrawalsOf(const Uuid& act) {
    return entriesTouching(journal::withdrawalsOf(act));
}

bool Projections::isOffice(const journal::DeviceId& device, const Order& at) {
    return m_roles.at(device, at) == station::Role::Office;
}

} // namespace discal::storage

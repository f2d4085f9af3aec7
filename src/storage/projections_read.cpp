#include "storage/projections.h"

#include "core/journal/subjects.h"
#include "storage/sqlite_errors.h"

#include <SQLiteCpp/SQLiteCpp.h>
#include <algorithm>
#include <tuple>

namespace discal::storage {

namespace json = boost::json;
using butterfly::Butterfly;
using journal::Entry;

namespace {

json::object parsed(const std::string& story) { return json::parse(story).as_object(); }

} // namespace

Result<std::int64_t> Projections::greatestLamport() { return m_greatestLamport; }

Result<std::optional<Butterfly>> Projections::butterfly(const std::string& id) {
    return guarded([&]() -> Result<std::optional<Butterfly>> { return loadButterfly(id); });
}

Result<std::vector<Butterfly>> Projections::butterfliesWith(const std::string& code) {
    return guarded([&]() -> Result<std::vector<Butterfly>> {
        std::vector<Butterfly> out;
        auto& select = prepared("SELECT b.story FROM carried c JOIN butterfly b ON b.id = c.butterfly "
                                "WHERE c.code = ? ORDER BY b.id");
        select.bind(1, code);
        while (select.executeStep())
            out.push_back(butterfly::fromJson(parsed(select.getColumn(0).getString())));
        return out;
    });
}

Result<std::vector<Butterfly>> Projections::butterfliesWithFate(butterfly::Fate fate) {
    return guarded([&]() -> Result<std::vector<Butterfly>> {
        std::vector<Butterfly> out;
        // The literal list lets SQLite use the partial index.
        auto& select = prepared(fate == butterfly::Fate::Noted || fate == butterfly::Fate::Held
                                    ? "SELECT story FROM butterfly WHERE fate IN ('noted', 'held') "
                                      "AND fate = ? ORDER BY noted_at, id"
                                    : "SELECT story FROM butterfly WHERE fate = ? ORDER BY noted_at, id");
        select.bind(1, std::string(textOf(fate)));
        while (select.executeStep())
            out.push_back(butterfly::fromJson(parsed(select.getColumn(0).getString())));
        return out;
    });
}

Result<std::vector<Butterfly>> Projections::olderOfSession(const std::string& session, const std::string& notedAt,
                                                           const std::string& id, std::int64_t limit) {
    return guarded([&]() -> Result<std::vector<Butterfly>> {
        std::vector<Butterfly> out;
        auto& select = prepared("SELECT story FROM butterfly WHERE session = ? AND (noted_at, id) < (?, ?) "
                                "ORDER BY noted_at DESC, id DESC LIMIT ?");
        select.bind(1, session);
        select.bind(2, notedAt);
        select.bind(3, id);
        select.bind(4, limit);
        while (select.executeStep())
            out.push_back(butterfly::fromJson(parsed(select.getColumn(0).getString())));
        return out;
    });
}

Result<std::vector<Projections::Tally>> Projections::tallyOfSession(const std::string& session) {
    return guarded([&]() -> Result<std::vector<Tally>> {
        std::vector<Tally> out;
        auto& select = prepared("SELECT coalesce(json_extract(story, '$.sex'), ''), "
                                "coalesce(json_extract(story, '$.origin'), ''), fate, count(*), min(noted_at), max(noted_at) "
                                "FROM butterfly WHERE session = ? GROUP BY 1, 2, 3 ORDER BY 1, 2, 3");
        select.bind(1, session);
        while (select.executeStep())
            out.push_back({select.getColumn(0).getString(), select.getColumn(1).getString(),
                           butterfly::fateOf(select.getColumn(2).getString()), select.getColumn(3).getInt64(),
                           select.getColumn(4).getString(), select.getColumn(5).getString()});
        return out;
    });
}

Result<std::vector<Butterfly>> Projections::butterfliesOfSession(const std::string& session) {
    return guarded([&]() -> Result<std::vector<Butterfly>> {
        std::vector<Butterfly> out;
        auto& select = prepared("SELECT story FROM butterfly WHERE session = ? ORDER BY noted_at, id");
        select.bind(1, session);
        while (select.executeStep())
            out.push_back(butterfly::fromJson(parsed(select.getColumn(0).getString())));
        return out;
    });
}

Result<std::int64_t> Projections::butterflyCount() {
    return guarded([&]() -> Result<std::int64_t> {
        return m_db->execAndGet("SELECT count(*) FROM butterfly").getInt64();
    });
}

Result<std::int64_t> Projections::countOfSession(const std::string& session) {
    return guarded([&]() -> Result<std::int64_t> {
        auto& select = prepared("SELECT count(*) FROM butterfly WHERE session = ?");
        select.bind(1, session);
        select.executeStep();
        const std::int64_t count = select.getColumn(0).getInt64();
        select.tryReset();
        return count;
    });
}

Result<std::vector<Butterfly>> Projections::newestOfSession(const std::string& session, std::size_t limit) {
    return guarded([&]() -> Result<std::vector<Butterfly>> {
        std::vector<Butterfly> out;
        auto& select = prepared("SELECT story FROM butterfly WHERE session = ? "
                                "ORDER BY noted_at DESC, id DESC LIMIT ?");
        select.bind(1, session);
        select.bind(2, static_cast<std::int64_t>(limit));
        while (select.executeStep())
            out.push_back(butterfly::fromJson(parsed(select.getColumn(0).getString())));
        return out;
    });
}

Result<std::int64_t> Projections::countReleasedSince(const std::string& utc) {
    return guarded([&]() -> Result<std::int64_t> {
        // From session to session in the index, and in each from `utc` on: the many of earlier days are not
        // read, and no further index has to grow with every tap.
        auto& select =
            prepared("WITH RECURSIVE spell (session) AS ("
                     "SELECT min(session) FROM butterfly UNION ALL "
                     "SELECT (SELECT min(b.session) FROM butterfly b WHERE b.session > spell.session) "
                     "FROM spell WHERE spell.session IS NOT NULL) "
                     "SELECT count(*) FROM spell CROSS JOIN butterfly b ON b.session = spell.session "
                     "WHERE b.noted_at >= ? AND b.fate = 'released'");
        select.bind(1, utc);
        select.executeStep();
        const std::int64_t count = select.getColumn(0).getInt64();
        select.tryReset();
        return count;
    });
}

Result<tag::TagState> Projections::tag(const tag::Code& code) {
    return guarded([&]() -> Result<tag::TagState> { return tagStateOf(code, nullptr); });
}

Result<std::vector<tag::Sheet>> Projections::sheets() {
    return guarded([&]() -> Result<std::vector<tag::Sheet>> {
        std::vector<tag::Sheet> out;
        SQLite::Statement select(*m_db, "SELECT story FROM sheet ORDER BY first, id");
        while (select.executeStep())
            out.push_back(tag::sheetFromJson(parsed(select.getColumn(0).getString())));
        return out;
    });
}

Result<bool> Projections::hasSheets() {
    return guarded([&]() -> Result<bool> {
        SQLite::Statement select(*m_db, "SELECT 1 FROM sheet LIMIT 1");
        return select.executeStep();
    });
}

Result<std::optional<tag::Sheet>> Projections::sheet(const std::string& id) {
    return guarded([&]() -> Result<std::optional<tag::Sheet>> { return loadSheet(id); });
}

Result<std::vector<tag::Sheet>> Projections::sheetsWith(const tag::Code& code) {
    return guarded([&]() -> Result<std::vector<tag::Sheet>> { return sheetsContaining(code); });
}

Result<std::vector<tag::Sheet>> Projections::sheetsHeldBy(const journal::DeviceId& device) {
    return guarded([&]() -> Result<std::vector<tag::Sheet>> {
        std::vector<tag::Sheet> out;
        auto& select = prepared("SELECT s.story FROM holding h JOIN sheet s ON s.id = h.sheet "
                                "WHERE h.device = ? ORDER BY h.lamport, s.first, s.id");
        select.bind(1, device.text());
        while (select.executeStep())
            out.push_back(tag::sheetFromJson(parsed(select.getColumn(0).getString())));
        return out;
    });
}

Result<bool> Projections::isOfferedBy(const tag::Code& code, const journal::DeviceId& device) {
    return guarded([&]() -> Result<bool> {
        // Nearly every code asked for is used, and its row says so at once.
        auto& row = prepared("SELECT fate, needs_newer FROM tag WHERE code = ?");
        row.bindNoCopy(1, code.text());
        const bool isTaken =
            row.executeStep() && (row.getColumn(0).getString() != "free" || row.getColumn(1).getInt() != 0);
        row.tryReset();
        return !isTaken && tagStateOf(code, nullptr).isOfferedBy(device.text());
    });
}

Result<std::vector<std::string>> Projections::freedCodes() {
    return guarded([&]() -> Result<std::vector<std::string>> {
        std::vector<std::string> out;
        auto& select = prepared("SELECT DISTINCT c.code FROM carried c LEFT JOIN tag t ON t.code = c.code "
                                "WHERE c.bond = 'free' AND (t.fate IS NULL OR t.fate = 'free') ORDER BY c.code");
        while (select.executeStep())
            out.push_back(select.getColumn(0).getString());
        return out;
    });
}

Result<std::optional<journal::Record>> Projections::record(journal::RecordType type, const std::string& key) {
    return guarded([&]() -> Result<std::optional<journal::Record>> { return loadRecord(type, key); });
}

Result<std::vector<journal::Record>> Projections::records(journal::RecordType type) {
    return guarded([&]() -> Result<std::vector<journal::Record>> {
        std::vector<journal::Record> out;
        SQLite::Statement select(*m_db, "SELECT story FROM record WHERE type = ? ORDER BY key");
        select.bind(1, std::string(textOf(type)));
        while (select.executeStep())
            out.push_back(journal::recordFromJson(parsed(select.getColumn(0).getString())));
        return out;
    });
}

Result<std::vector<journal::Record>> Projections::openSessions() {
    return guarded([&]() -> Result<std::vector<journal::Record>> {
        std::vector<journal::Record> out;
        // Notes stand beside the lines, so the word is the member's name or part of none.
        SQLite::Statement select(*m_db, "SELECT story FROM record WHERE type = ? AND "
                                        "instr(story, '\"closed_at\":') = 0 ORDER BY key");
        select.bind(1, std::string(textOf(journal::RecordType::Session)));
        while (select.executeStep())
            out.push_back(journal::recordFromJson(parsed(select.getColumn(0).getString())));
        return out;
    });
}

Result<std::vector<Projections::MarkedDoubt>> Projections::doubts() {
    return guarded([&]() -> Result<std::vector<MarkedDoubt>> {
        std::vector<MarkedDoubt> out;
        SQLite::Statement select(*m_db,
                                 "SELECT rule, subject, severity, evidence, settled FROM doubt ORDER BY key");
        while (select.executeStep()) {
            MarkedDoubt d;
            d.doubt.rule = select.getColumn(0).getString();
            d.doubt.subject = select.getColumn(1).getString();
            for (const auto severity :
                 {doubt::Severity::CannotBeRight, doubt::Severity::Unlikely, doubt::Severity::Incomplete})
                if (textOf(severity) == select.getColumn(2).getString())
                    d.doubt.severity = severity;
            d.doubt.evidence =
                journal::idsIn(json::object{{"ids", json::parse(select.getColumn(3).getString())}}, "ids");
            if (!select.getColumn(4).isNull())
                d.settled = select.getColumn(4).getString();
            out.push_back(std::move(d));
        }
        return out;
    });
}

Result<std::vector<std::string>> Projections::marksOf(const journal::Uuid& line) {
    return guarded([&]() -> Result<std::vector<std::string>> {
        std::vector<std::string> out;
        auto& select = prepared("SELECT l.key FROM doubt_line l JOIN doubt d ON d.key = l.key "
                                "WHERE l.line = ? AND d.settled IS NULL ORDER BY l.key");
        select.bind(1, line.text());
        while (select.executeStep())
            out.push_back(select.getColumn(0).getString());
        return out;
    });
}

Result<std::vector<Entry>> Projections::linesWithId(const journal::Uuid& id) {
    return guarded([&]() -> Result<std::vector<Entry>> {
        auto entries = entriesTouching("id " + id.text());
        std::erase_if(entries, [&](const Entry& e) { return !e.line || e.line->id != id; });
        return entries;
    });
}

Result<std::vector<Entry>> Projections::linesOfAct(const journal::Uuid& act) {
    return guarded([&]() -> Result<std::vector<Entry>> {
        auto entries = entriesTouching("id " + act.text());
        std::erase_if(entries, [&](const Entry& e) { return !e.line || e.line->act != act; });
        return entries;
    });
}

Result<std::vector<Entry>> Projections::linesOfSubject(const std::string& key) {
    return guarded([&]() -> Result<std::vector<Entry>> { return entriesTouching(key); });
}

Result<journal::Amended> Projections::amendedLine(const Entry& entry) {
    return guarded([&]() -> Result<journal::Amended> {
        if (!entry.line)
            return fail(entry.line.error());
        return journal::amended(entry, *this);
    });
}

Result<bool> Projections::isErased(const journal::Hash& blob) {
    return guarded([&]() -> Result<bool> {
        auto& select = prepared("SELECT 1 FROM erased WHERE blob = ?");
        select.bind(1, journal::hexOf(blob));
        const bool is = select.executeStep();
        select.tryReset();
        return is;
    });
}

Result<std::vector<journal::Hash>> Projections::erasedBlobs() {
    return guarded([&]() -> Result<std::vector<journal::Hash>> {
        std::vector<journal::Hash> out;
        SQLite::Statement select(*m_db, "SELECT blob FROM erased ORDER BY blob");
        while (select.executeStep())
            if (const auto hash = journal::hashFromHex(select.getColumn(0).getString()))
                out.push_back(*hash);
        return out;
    });
}

Result<std::string> Projections::dump() {
    return guarded([&]() -> Result<std::string> {
        // `chain` numbers follow arrival and are shown as the chain they stand for; `meta` is about this file.
        const std::pair<const char*, const char*> tables[] = {
            {"touch", "SELECT t.key, t.lamport, c.device, c.branch, t.seq FROM touch t "
                      "JOIN chain c ON c.n = t.chain ORDER BY 1, 2, 3, 4, 5"},
            {"butterfly", "SELECT id, fate, code, session, cage, noted_at, story FROM butterfly ORDER BY 1"},
            {"carried", "SELECT code, butterfly, bond FROM carried ORDER BY 1, 2"},
            {"tag", "SELECT code, fate, holder, in_stock, needs_newer FROM tag ORDER BY 1"},
            {"sheet", "SELECT id, first, story FROM sheet ORDER BY 1"},
            {"sheet_block", "SELECT block, sheet FROM sheet_block ORDER BY 1, 2"},
            {"holding", "SELECT device, lamport, sheet FROM holding ORDER BY 1, 2, 3"},
            {"record", "SELECT type, key, story FROM record ORDER BY 1, 2"},
            {"doubt", "SELECT key, rule, subject, severity, evidence, settled FROM doubt ORDER BY 1"},
            {"doubt_line", "SELECT line, key FROM doubt_line ORDER BY 1, 2"},
            {"erased", "SELECT blob FROM erased ORDER BY 1"},
        };
        std::string out;
        // How far chains are read is written to their table with the next commit only.
        std::vector<ChainRow> read = m_chains;
        std::sort(read.begin(), read.end(), [](const ChainRow& a, const ChainRow& b) {
            return std::tie(a.device, a.branch) < std::tie(b.device, b.branch);
        });
        for (const ChainRow& row : read)
            out += "chain\t" + row.device.text() + "\t" + row.branch + "\t" + std::to_string(row.doneSeq) + "\t" +
                   journal::hexOf(row.doneHash) + "\n";
        for (const auto& [table, sql] : tables) {
            SQLite::Statement select(*m_db, sql);
            while (select.executeStep()) {
                out += table;
                for (int i = 0; i < select.getColumnCount(); ++i) {
                    out += '\t';
                    out += select.getColumn(i).isNull() ? "NULL" : select.getColumn(i).getString();
                }
                out += '\n';
            }
        }
        return out;
    });
}

} // namespace discal::storage

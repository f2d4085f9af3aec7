#include "storage/projections.h"

#include "core/doubt/rules.h"
#include "core/journal/subjects.h"
#include "storage/embedded_sql.h"
#include "storage/sqlite_errors.h"

#include <SQLiteCpp/Backup.h>
#include <SQLiteCpp/SQLiteCpp.h>
#include <algorithm>
#include <filesystem>
#include <future>
#include <map>
#include <sqlite3.h>

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

/// Lines taken between two commits of the projections while nobody is idle. So many are read again after a crash, some
/// milliseconds; and so rarely does a tap pay for writing the pages of all of them.
constexpr int kLinesACommit = 250;
/// One thread at a time uses the connection: locking it for each call would be 6 % of a rebuild.
constexpr int kAlone = SQLITE_OPEN_NOMUTEX;
/// Lines read at once when catching up.
constexpr std::size_t kLinesABatch = 4000;

json::object parsedStory(const SQLite::Column& column) {
    return json::parse(std::string_view(column.getText(), static_cast<std::size_t>(column.getBytes()))).as_object();
}

bool isUuidKey(std::string_view key) { return key.size() == 36 && key[8] == '-' && key[13] == '-'; }

bool isCodeKey(std::string_view key) { return key.starts_with("code "); }

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

/// The noun that a line's first subject is: butterfly, sheet, or one of the records.
enum class Noun { Butterfly, Sheet, Record, Other };

Noun nounOf(std::string_view kind) {
    // A comparison marks the butterflies that others noted; by itself it makes none.
    if (kind == journal::textOf(Kind::TagCompared))
        return Noun::Other;
    if (kind.starts_with("butterfly.") || kind.starts_with("tag."))
        return Noun::Butterfly;
    if (kind.starts_with("sheet."))
        return Noun::Sheet;
    return journal::recordTypeOf(kind) ? Noun::Record : Noun::Other;
}

/// Lines that change how others are read. They are no part of any story themselves, whatever they are about;
/// but of a newer one we don't know that.
bool isAmending(Kind kind) { return kind == Kind::EntryCorrected || kind == Kind::EntryWithdrawn; }

/// Lines about the tag itself, or that we can't read: a code is folded from them. Of all others the butterfly tells.
bool isAboutTag(const std::string& word, Kind kind, std::int64_t version) {
    return word.starts_with("tag.") || version > journal::knownVersion(kind);
}

/// An error that says that the file is bad, and not that the disk or the memory is.
bool isDamage(const std::exception& e) {
    if (const auto* failure = dynamic_cast<const Failure*>(&e))
        return failure->error().code == Code::Corrupt;
    const auto* sqlite = dynamic_cast<const SQLite::Exception*>(&e);
    if (sqlite == nullptr)
        return dynamic_cast<const std::bad_alloc*>(&e) == nullptr;
    switch (sqlite->getErrorCode() & 0xFF) {
    case SQLITE_FULL:
    case SQLITE_IOERR:
    case SQLITE_NOMEM:
    case SQLITE_BUSY:
    case SQLITE_LOCKED:
    case SQLITE_READONLY:
    case SQLITE_PERM:
    case SQLITE_CANTOPEN:
    case SQLITE_INTERRUPT:
        return false;
    default:
        return true;
    }
}

void removeDatabase(const Place& place, const std::filesystem::path& file) {
    sqlite3_vfs* vfs = sqlite3_vfs_find(place.vfs.empty() ? nullptr : place.vfs.c_str());
    for (const char* suffix : {"-wal", "-shm", ""})
        vfs->xDelete(vfs, (file.string() + suffix).c_str(), 0);
}

} // namespace

/// What one batch of lines has changed so far, and rows that are not yet written back.
struct Projections::Batch {
    std::unordered_map<std::string, Butterfly> butterflies;
    std::unordered_map<std::string, std::vector<butterfly::Carried>> carriedBefore;  ///< as the rows have it
    std::set<std::string> changedButterflies;
    std::set<std::string> refold;
    std::set<std::string> codes;
    std::set<std::string> sheets;
    std::set<std::string> doubtKeys;
    bool roles{false};
    bool erasures{false};
};

Projections::Projections(JournalFile& journal) : m_journal(journal) {}

Projections::~Projections() {
    if (m_isInTransaction && m_db)
        (void)flush();
    m_prepared.clear();
}

SQLite::Statement& Projections::prepared(const char* sql) {
    auto& slot = m_prepared[sql];
    if (!slot)
        slot = std::make_unique<SQLite::Statement>(*m_db, sql);
    slot->tryReset();
    slot->clearBindings();
    return *slot;
}

// Opening -----------------------------------------------------------------------------------------------------

void Projections::openDatabase(JournalFile::Access access) {
    m_prepared.clear();
    m_chains.clear();
    m_db.reset();
    m_isInTransaction = false;
    m_linesSinceCommit = 0;
    const Place& place = m_journal.place();
    if (access == JournalFile::Access::Write) {
        m_db = std::make_unique<SQLite::Database>(place.state().string(),
                                                  kAlone | SQLite::OPEN_READWRITE | SQLite::OPEN_CREATE, 2000,
                                                  place.vfs);
        m_db->exec("PRAGMA journal_mode = WAL");
        m_db->exec("PRAGMA synchronous = NORMAL");
        m_db->exec("PRAGMA wal_autocheckpoint = 0");
        m_db->exec("PRAGMA cache_size = -32000");
    } else {
        m_db = std::make_unique<SQLite::Database>(":memory:", kAlone | SQLite::OPEN_READWRITE | SQLite::OPEN_CREATE, 2000);
    }
    m_db->exec("PRAGMA temp_store = MEMORY");
}

void Projections::createTables() {
    m_sheets.clear();
    m_prepared.clear();
    m_chains.clear();
    m_greatestLamport = 0;
    std::vector<std::string> tables;
    {
        SQLite::Statement select(*m_db, "SELECT name FROM sqlite_schema WHERE type = 'table'");
        while (select.executeStep())
            tables.push_back(select.getColumn(0).getString());
    }
    m_db->exec("BEGIN IMMEDIATE");
    for (const auto& table : tables)
        m_db->exec("DROP TABLE \"" + table + "\"");
    m_db->exec(std::string(embedded::projections()));
    m_db->exec("INSERT INTO meta (name, value) VALUES ('projection_version', '" +
               std::to_string(kProjectionVersion) + "')");
    m_db->exec("COMMIT");
}

bool Projections::isUsable() {
    if (m_db->execAndGet("SELECT count(*) FROM sqlite_schema WHERE name = 'meta'").getInt() == 0)
        return false;
    SQLite::Statement version(*m_db, "SELECT value FROM meta WHERE name = 'projection_version'");
    if (!version.executeStep() || version.getColumn(0).getString() != std::to_string(kProjectionVersion))
        return false;
    SQLite::Statement lamport(*m_db, "SELECT value FROM meta WHERE name = 'greatest_lamport'");
    m_greatestLamport = lamport.executeStep() ? std::stoll(lamport.getColumn(0).getString()) : 0;
    m_chains.clear();
    SQLite::Statement chains(*m_db, "SELECT n, device, branch, done_seq, done_hash FROM chain ORDER BY n");
    while (chains.executeStep()) {
        ChainRow row;
        row.n = chains.getColumn(0).getInt64();
        row.device = journal::DeviceId::parse(chains.getColumn(1).getString()).value_or(journal::DeviceId());
        row.branch = chains.getColumn(2).getString();
        row.doneSeq = chains.getColumn(3).getInt64();
        if (row.n != static_cast<std::int64_t>(m_chains.size()) + 1 || chains.getColumn(4).getBytes() != 32)
            return false;
        std::memcpy(row.doneHash.data(), chains.getColumn(4).getBlob(), 32);
        // A journal put back from a backup is behind its projections, or another journal altogether.
        if (row.branch.empty()) {
            const auto stands = need(m_journal.hash(row.device, row.doneSeq));
            if (!stands || *stands != row.doneHash)
                return false;
        } else if (!need(m_journal.forkLine(row.device, row.doneSeq, row.branch)) ||
                   standsInChain(row.device, row.doneSeq, row.branch)) {
            return false;
        }
        m_chains.push_back(std::move(row));
    }
    return true;
}

/// A line that was kept beside its chain, because one before it was missing, and has since come again in its place.
bool Projections::standsInChain(const journal::DeviceId& device, std::int64_t seq, const std::string& branch) {
    const auto there = need(m_journal.hash(device, seq));
    return there && journal::hexOf(*there) == branch;
}

bool Projections::isBehind() {
    for (const Chain& chain : need(m_journal.chains())) {
        const auto row = std::find_if(m_chains.begin(), m_chains.end(), [&](const ChainRow& r) {
            return r.device == chain.device && r.branch.empty();
        });
        if (chain.head.seq > (row == m_chains.end() ? 0 : row->doneSeq))
            return true;
    }
    for (const ForkLine& fork : need(m_journal.forks()))
        if (std::none_of(m_chains.begin(), m_chains.end(), [&](const ChainRow& r) {
                return r.device == fork.device && r.branch == journal::hexOf(fork.hash);
            }) &&
            !standsInChain(fork.device, fork.seq, journal::hexOf(fork.hash)))
            return true;
    return false;
}

Result<std::unique_ptr<Projections>> Projections::openInMemory(JournalFile& journal, const Progress& progress) {
    return guarded([&]() -> Result<std::unique_ptr<Projections>> {
        std::unique_ptr<Projections> p(new Projections(journal));
        p->openDatabase(JournalFile::Access::Read);
        p->createTables();
        p->loadRoles();
        p->doCatchUp(progress);
        return p;
    });
}

Result<std::unique_ptr<Projections>> Projections::open(JournalFile& journal, JournalFile::Access access,
                                                       const Progress& progress) {
    return guarded([&]() -> Result<std::unique_ptr<Projections>> {
        std::unique_ptr<Projections> p(new Projections(journal));
        const Place& place = journal.place();
        if (access == JournalFile::Access::Write) {
            const auto start = [&] {
                p->openDatabase(access);
                if (!p->isUsable())
                    p->createTables();
                p->loadRoles();
                p->doCatchUp(progress);
            };
            try {
                start();
                return p;
            } catch (const std::exception& e) {
                if (!isDamage(e))
                    throw;
            }
            p->m_prepared.clear();
            p->m_db.reset();
            removeDatabase(place, place.state());
            start();
            return p;
        }
        bool usable = false;
        try {
            p->m_db = std::make_unique<SQLite::Database>(place.state().string(), SQLite::OPEN_READONLY, 2000, place.vfs);
            p->m_db->exec("PRAGMA query_only = ON");
            p->m_db->exec("BEGIN");
            usable = p->isUsable();
            if (usable && !p->isBehind()) {
                p->loadRoles();
                return p;
            }
            auto file = std::move(p->m_db);
            p->m_prepared.clear();
            p->openDatabase(access);
            if (usable) {
                {
                    SQLite::Backup copy(*p->m_db, *file);
                    copy.executeStep(-1);
                }
                usable = p->isUsable();
            }
            if (usable) {
                p->loadRoles();
                p->doCatchUp(progress);
                return p;
            }
        } catch (const std::exception&) {
            // Whatever is wrong with their file, the journal says it all.
            p->openDatabase(access);
        }
        p->createTables();
        p->loadRoles();
        p->doCatchUp(progress);
        return p;
    });
}

// Transactions ------------------------------------------------------------------------------------------------

void Projections::begin() {
    if (m_isInTransaction)
        return;
    m_db->exec("BEGIN IMMEDIATE");
    m_isInTransaction = true;
}

void Projections::commit() {
    if (!m_isInTransaction)
        return;
    auto& lamport = prepared("INSERT INTO meta (name, value) VALUES ('greatest_lamport', ?) "
                             "ON CONFLICT (name) DO UPDATE SET value = excluded.value");
    lamport.bind(1, std::to_string(m_greatestLamport));
    lamport.exec();
    auto& chain = prepared("UPDATE chain SET done_seq = ?, done_hash = ? WHERE n = ?");
    for (const ChainRow& row : m_chains) {
        chain.tryReset();
        chain.bind(1, row.doneSeq);
        chain.bindNoCopy(2, row.doneHash.data(), 32);
        chain.bind(3, row.n);
        chain.exec();
    }
    chain.tryReset();
    m_db->exec("COMMIT");
    m_isInTransaction = false;
    m_linesSinceCommit = 0;
}

void Projections::rollback() {
    if (!m_isInTransaction)
        return;
    m_isInTransaction = false;
    m_linesSinceCommit = 0;
    for (auto& [sql, statement] : m_prepared)
        statement->tryReset();
    if (sqlite3_get_autocommit(m_db->getHandle()) == 0)
        m_db->exec("ROLLBACK");
    m_sheets.clear();
    if (!isUsable())
        createTables();
    loadRoles();
}

Result<void> Projections::flush() {
    return guarded([&]() -> Result<void> {
        commit();
        // Syncs; so never while a line waits. The file may only lag behind.
        sqlite3_wal_checkpoint_v2(m_db->getHandle(), nullptr, SQLITE_CHECKPOINT_PASSIVE, nullptr, nullptr);
        return {};
    });
}

std::int64_t Projections::chainNumber(const journal::DeviceId& device, const std::string& branch) {
    for (const ChainRow& row : m_chains)
        if (row.device == device && row.branch == branch)
            return row.n;
    ChainRow row{static_cast<std::int64_t>(m_chains.size()) + 1, device, branch, 0, {}};
    if (branch.empty())
        row.doneHash = need(m_journal.hash(device, 0)).value_or(journal::Hash{});
    auto& insert =
        prepared("INSERT INTO chain (n, device, branch, done_seq, done_hash) VALUES (?, ?, ?, ?, ?)");
    insert.bind(1, row.n);
    insert.bind(2, device.text());
    insert.bind(3, branch);
    insert.bind(4, row.doneSeq);
    insert.bindNoCopy(5, row.doneHash.data(), 32);
    insert.exec();
    m_chains.push_back(row);
    return row.n;
}

void Projections::setDone(std::int64_t chain, std::int64_t seq, const journal::Hash& hash) {
    ChainRow& row = m_chains.at(static_cast<std::size_t>(chain - 1));
    row.doneSeq = seq;
    row.doneHash = hash;
}

// Taking lines ------------------------------------------------------------------------------------------------

Result<void> Projections::take(const std::vector<Entry>& entries, const journal::Hash& headHash) {
    return guarded([&]() -> Result<void> {
        if (entries.empty())
            return {};
        try {
            begin();
            const std::int64_t number = chainNumber(entries.front().device, "");
            if (m_chains.at(static_cast<std::size_t>(number - 1)).doneSeq + 1 != entries.front().seq) {
                // Earlier ones could not be taken: the disk failed, and there was no room in memory.
                doCatchUp({});
                return {};
            }
            std::vector<Incoming> incoming;
            for (const Entry& entry : entries)
                incoming.push_back({entry, chainNumber(entry.device, ""), headHash, {}, {}});
            project(incoming);
            m_linesSinceCommit += static_cast<int>(entries.size());
            if (m_linesSinceCommit >= kLinesACommit)
                commit();
        } catch (...) {
            rollback();
            throw;
        }
        return {};
    });
}

Result<void> Projections::catchUp(const Progress& progress) {
    return guarded([&]() -> Result<void> {
        doCatchUp(progress);
        return {};
    });
}

Result<void> Projections::rebuild(const Progress& progress) {
    return guarded([&]() -> Result<void> {
        doRebuild(progress);
        return {};
    });
}

void Projections::doRebuild(const Progress& progress) {
    commit();
    const char* file = sqlite3_db_filename(m_db->getHandle(), "main");
    if (file != nullptr && *file != '\0' && m_journal.place().vfs.empty()) {
        // Quicker than dropping every page of a large file; readers keep the old one until they close it.
        m_prepared.clear();
        m_db.reset();
        for (const char* suffix : {"", "-wal", "-shm"})
            std::filesystem::remove(m_journal.place().state().string() + suffix);
        openDatabase(JournalFile::Access::Write);
    }
    createTables();
    loadRoles();
    doCatchUp(progress);
}

void Projections::doCatchUp(const Progress& progress) {
    // Lines read from beside their chain that now stand in it would be folded twice.
    const bool isFilled = std::any_of(m_chains.begin(), m_chains.end(), [&](const ChainRow& row) {
        return !row.branch.empty() && standsInChain(row.device, row.doneSeq, row.branch);
    });
    if (isFilled) {
        commit();
        createTables();
        loadRoles();
    }
    /// The next lines of one chain: read here, and made sense of by another thread while these are projected.
    struct Ahead {
        std::int64_t chain;
        journal::DeviceId device;
        std::int64_t nextSeq;
        std::int64_t lastSeq;
        std::vector<Incoming> lines;
        std::size_t at{0};
        std::future<std::vector<Incoming>> next;
    };
    try {
        begin();
        std::vector<Ahead> aheads;
        std::vector<Incoming> spent;
        std::int64_t all = 0;
        std::int64_t done = 0;
        for (const Chain& chain : need(m_journal.chains())) {
            const std::int64_t n = chainNumber(chain.device, "");
            const std::int64_t next = m_chains.at(static_cast<std::size_t>(n - 1)).doneSeq + 1;
            if (next <= chain.head.seq) {
                aheads.push_back({n, chain.device, next, chain.head.seq, {}, 0, {}});
                all += chain.head.seq - next + 1;
            }
        }
        const auto readOn = [&](Ahead& ahead) {
            std::vector<std::pair<std::string, journal::Hash>> raw;
            const std::int64_t from = ahead.nextSeq;
            need(m_journal.visit(ahead.device, from,
                                 [&](std::int64_t seq, std::string_view line, const journal::Hash& hash) {
                                     raw.emplace_back(line, hash);
                                     ahead.nextSeq = seq + 1;
                                     return raw.size() < kLinesABatch / 4 && seq < ahead.lastSeq;
                                 }));
            // Lines that are done with are freed there too: that takes nearly as long as parsing them.
            // With no thread to be had it is done when asked for.
            return std::async(std::launch::async | std::launch::deferred, [device = ahead.device, chain = ahead.chain, from, raw = std::move(raw),
                                 done = std::exchange(spent, {})]() mutable {
                done.clear();
                std::vector<Incoming> lines;
                lines.reserve(raw.size());
                for (std::size_t i = 0; i < raw.size(); ++i) {
                    Incoming& in = lines.emplace_back();
                    in.entry = journal::makeEntry(device, from + static_cast<std::int64_t>(i),
                                                  std::move(raw[i].first));
                    in.chain = chain;
                    in.hash = raw[i].second;
                    if (in.entry.line)
                        in.subjects = journal::subjectsOf(*in.entry.line, device, in.entry.line->body);
                }
                return lines;
            });
        };
        const auto refill = [&](Ahead& ahead) {
            if (!ahead.next.valid())
                ahead.next = readOn(ahead);
            ahead.lines = ahead.next.get();
            ahead.at = 0;
            if (ahead.nextSeq <= ahead.lastSeq)
                ahead.next = readOn(ahead);
        };
        std::vector<Incoming> batch;
        int batches = 0;
        const auto finishBatch = [&] {
            project(batch);
            done += static_cast<std::int64_t>(batch.size());
            spent = std::exchange(batch, {});
            commit();
            // Each moves every page that was written since, and syncs: some batches share one.
            constexpr int kBatchesACheckpoint = 10;
            if (++batches % kBatchesACheckpoint == 0)
                sqlite3_wal_checkpoint_v2(m_db->getHandle(), nullptr, SQLITE_CHECKPOINT_PASSIVE, nullptr, nullptr);
            begin();
            if (progress)
                progress(done, all);
        };
        for (;;) {
            // The one that stands first in the order: then nearly every line can be stepped.
            Ahead* first = nullptr;
            for (Ahead& ahead : aheads) {
                if (ahead.at == ahead.lines.size() && (ahead.next.valid() || ahead.nextSeq <= ahead.lastSeq))
                    refill(ahead);
                if (ahead.at == ahead.lines.size())
                    continue;
                if (first == nullptr ||
                    ahead.lines[ahead.at].entry.order() < first->lines[first->at].entry.order())
                    first = &ahead;
            }
            if (first == nullptr)
                break;
            batch.push_back(std::move(first->lines[first->at++]));
            if (batch.size() >= kLinesABatch)
                finishBatch();
        }
        for (const ForkLine& fork : need(m_journal.forks())) {
            const std::string branch = journal::hexOf(fork.hash);
            const bool isKnown = std::any_of(m_chains.begin(), m_chains.end(), [&](const ChainRow& r) {
                return r.device == fork.device && r.branch == branch;
            });
            if (!isKnown && !standsInChain(fork.device, fork.seq, branch))
                batch.push_back({journal::makeEntry(fork.device, fork.seq, fork.line),
                                 chainNumber(fork.device, branch), fork.hash, {}, {}});
        }
        if (!batch.empty())
            finishBatch();
        commit();
    } catch (...) {
        rollback();
        throw;
    }
}

void Projections::project(std::vector<Incoming>& entries) {
    Batch batch;
    for (Incoming& in : entries) {
        route(in, batch);
        setDone(in.chain, in.entry.seq, in.hash);
    }
    if (batch.roles)
        deriveRoles(batch);
    if (batch.roles || batch.erasures)
        deriveErasures();
    for (const std::string& key : batch.refold)
        fold(key, batch);
    std::vector<const Butterfly*> changed;
    for (const std::string& id : batch.changedButterflies)
        changed.push_back(&batch.butterflies.at(id));
    // Nothing below reads the rows of these butterflies before they are put, so another thread may write their stories
    // meanwhile; for a tap that wouldn't pay.
    constexpr std::size_t kWorthAThread = 100;
    auto stories = std::async(changed.size() < kWorthAThread ? std::launch::deferred
                                                             : std::launch::async | std::launch::deferred,
                              [&changed] {
                                  std::vector<std::string> out;
                                  for (const Butterfly* b : changed)
                                      out.push_back(json::serialize(butterfly::toJson(*b)));
                                  return out;
                              });
    for (const Butterfly* b : changed)
        storeCarried(*b, batch.carriedBefore[b->id.text()]);
    for (const std::string& id : batch.sheets)
        deriveSheet(id);
    for (const std::string& code : batch.codes)
        deriveCode(code, batch);
    for (const std::string& key : batch.doubtKeys)
        resettle(key);
    const auto written = stories.get();
    for (std::size_t i = 0; i < changed.size(); ++i)
        storeStory(*changed[i], written[i]);
}

void Projections::touchRow(const std::string& key, const Order& order, std::int64_t chain) {
    auto& insert = prepared("INSERT INTO touch (key, lamport, chain, seq) VALUES (?, ?, ?, ?) ON CONFLICT DO NOTHING");
    insert.bindNoCopy(1, key);
    insert.bind(2, order.lamport);
    insert.bind(3, chain);
    insert.bind(4, order.seq);
    insert.exec();
}

void Projections::touch(const std::string& key, const Incoming& in) { touchRow(key, in.entry.order(), in.chain); }

/// Makes the event of the line in `in`; its place in the chain stays.
void Projections::route(Incoming& in, Batch& batch) {
    const Entry& entry = in.entry;
    const bool isFork = !m_chains.at(static_cast<std::size_t>(in.chain - 1)).branch.empty();
    const std::string place = "line-at " + entry.device.text() + "/" + std::to_string(entry.seq);
    if (isFork) {
        // All that stand beside the chain at this place, whichever came first.
        std::vector<Uuid> evidence;
        for (const ChainRow& row : m_chains)
            if (row.device == entry.device && !row.branch.empty() && (row.n == in.chain || row.doneSeq == entry.seq))
                if (const Entry other = row.n == in.chain ? entry : readEntry(row.n, entry.seq); other.line)
                    evidence.push_back(other.line->id);
        writeDoubts(place + " fork", {{"chain.forked", place + " fork", doubt::Severity::CannotBeRight, evidence}});
    }
    if (!entry.line) {
        writeDoubts(place, {{"line.unreadable", place, doubt::Severity::CannotBeRight, {}}});
        return;
    }
    const journal::Line& line = *entry.line;
    // Only what stands later amends: where nothing later has come, nothing has to be looked up.
    const bool isLast = line.lamport > m_greatestLamport;
    m_greatestLamport = std::max(m_greatestLamport, line.lamport);
    const Kind kind = journal::kindOf(line.kind);
    const bool isAboutItsTag = isAboutTag(line.kind, kind, line.version);
    if (in.subjects.empty())
        in.subjects = journal::subjectsOf(line, entry.device, line.body);

    touch("id " + line.id.text(), in);
    if (line.act != line.id)
        touch("id " + line.act.text(), in);
    for (const std::string& key : in.subjects)
        if (!isCodeKey(key) || isAboutItsTag)
            touch(key, in);

    const bool isAmended = !isLast && (isTouched(journal::correctionsOf(line.id)) ||
                                       isTouched(journal::withdrawalsOf(line.act)));
    if (isAmended || isAmending(kind)) {
        disturb(entry, batch);
        return;
    }
    const std::string mainSubject = line.about.empty() ? std::string() : line.about.front().text();
    in.event = journal::unamended(std::move(in.entry));
    for (const std::string& key : in.subjects)
        stepSubject(key, in.event, key == mainSubject, batch);
}

/// The chain, or branch of one, that the entry was read from.
std::int64_t Projections::chainOf(const Entry& entry) {
    std::vector<std::int64_t> chains;
    auto& select = prepared("SELECT chain FROM touch WHERE key = ? AND lamport = ? AND seq = ?");
    select.bind(1, "id " + entry.line->id.text());
    select.bind(2, entry.line->lamport);
    select.bind(3, entry.seq);
    while (select.executeStep())
        chains.push_back(select.getColumn(0).getInt64());
    select.tryReset();
    for (const std::int64_t n : chains)
        if (m_chains.at(static_cast<std::size_t>(n - 1)).device == entry.device &&
            (chains.size() == 1 || readEntry(n, entry.seq).bytes == entry.bytes))
            return n;
    throw Failure({Code::Corrupt, entry.device.text(), entry.seq});
}

/// The lines that a correction or withdrawal names.
std::vector<Entry> Projections::amendedBy(const Entry& amendment) {
    const journal::Line& line = *amendment.line;
    const Kind kind = journal::kindOf(line.kind);
    const auto named = kind == Kind::EntryCorrected   ? journal::idIn(line.body, "of")
                       : kind == Kind::EntryWithdrawn ? journal::idIn(line.body, "act")
                                                      : std::nullopt;
    if (!named)
        return {};
    std::vector<Entry> targets = entriesTouching("id " + named->text());
    std::erase_if(targets, [&](const Entry& target) {
        return !target.line || target.order() >= amendment.order() ||
               (kind == Kind::EntryCorrected ? target.line->id : target.line->act) != *named;
    });
    return targets;
}

/// All that is read otherwise once `entry` has come: itself, or what it amends, directly or by way of others.
void Projections::disturb(const Entry& entry, Batch& batch) {
    // There may be many ways from one line to another, so each is looked at once.
    std::set<std::pair<Order, std::string>> seen;
    std::vector<Entry> open{entry};
    while (!open.empty()) {
        const Entry next = std::move(open.back());
        open.pop_back();
        if (!next.line || !seen.emplace(next.order(), next.bytes).second)
            continue;
        for (Entry& target : amendedBy(next))
            open.push_back(std::move(target));
        const Amended event = journal::unamended(next);
        if (!isAmending(event.kind) || event.isNewer)
            disturbSubjects(next, event, batch);
    }
}

/// Subjects of a line that is amended: those of the line as written and as any correction would have it.
void Projections::disturbSubjects(const Entry& entry, const Amended& event, Batch& batch) {
    const journal::Line& line = *entry.line;
    std::set<std::string> keys;
    const auto add = [&](const json::object& body) {
        for (auto& key : journal::subjectsOf(line, entry.device, body))
            keys.insert(std::move(key));
    };
    add(line.body);
    std::map<std::string, std::vector<json::value>, std::less<>> corrected;
    for (const Entry& correction : correctionsOf(line.id)) {
        if (!correction.line || correction.order() <= entry.order())
            continue;
        if (const auto* set = journal::objectIn(correction.line->body, "set"))
            for (const auto& member : *set)
                corrected[std::string(member.key())].push_back(member.value());
    }
    for (const auto& [name, values] : corrected)
        for (const json::value& value : values) {
            json::object body = line.body;
            body[name] = value;
            add(body);
        }
    if (line.kind.starts_with("tag.")) {
        // The codes of a run follow from three members together.
        std::vector<json::object> bodies{line.body};
        for (const std::string_view name : {"first", "count", "scheme"})
            if (const auto at = corrected.find(name); at != corrected.end())
                for (std::size_t i = bodies.size(); i-- > 0;)
                    for (const json::value& value : at->second) {
                        bodies.push_back(bodies[i]);
                        bodies.back()[name] = value;
                    }
        for (const json::object& body : bodies)
            add(body);
    }
    // No butterfly may carry a code that the line would give it, were it read by a newer Discal: the tag
    // itself is marked.
    const bool marksTags = isAboutTag(line.kind, event.kind, line.version) || journal::isNamedByNewer(entry, *this);
    const std::int64_t chain = chainOf(entry);
    for (const std::string& key : keys) {
        if (isCodeKey(key)) {
            batch.codes.insert(key.substr(5));
            if (!marksTags)
                continue;
        }
        touchRow(key, entry.order(), chain);
        if (key == journal::kRolesSubject)
            batch.roles = true;
        else if (key == journal::kErasuresSubject)
            batch.erasures = true;
        else if (key.starts_with("doubt "))
            batch.doubtKeys.insert(key.substr(6));
        else if (!isCodeKey(key))
            batch.refold.insert(key);
    }
    writeDoubts(journal::correctionsOf(line.id), doubt::about(journal::amended(entry, *this)));
}

void Projections::stepSubject(const std::string& key, const Amended& event, bool isMainSubject, Batch& batch) {
    if (isCodeKey(key)) {
        batch.codes.insert(key.substr(5));
        return;
    }
    if (key == journal::kRolesSubject) {
        batch.roles = true;
        return;
    }
    if (key == journal::kErasuresSubject) {
        batch.erasures = true;
        return;
    }
    if (key.starts_with("doubt ")) {
        batch.doubtKeys.insert(key.substr(6));
        return;
    }
    if (key.starts_with("line ") || key.starts_with("act ") || batch.refold.count(key) != 0)
        return;
    const Noun noun = isMainSubject ? nounOf(event.line.kind) : Noun::Other;
    if (isUuidKey(key) && noun == Noun::Butterfly) {
        auto cached = batch.butterflies.find(key);
        if (cached == batch.butterflies.end() && event.kind == Kind::ButterflyNoted && !isTouchedTwice(key)) {
            // Its first line; if others came before, they are folded together.
            Butterfly fresh;
            fresh.id = event.line.about.front();
            butterfly::step(fresh, event);
            for (const auto& carried : fresh.codes)
                batch.codes.insert(carried.code);
            batch.butterflies.emplace(key, std::move(fresh));
            batch.changedButterflies.insert(key);
            return;
        }
        if (cached == batch.butterflies.end()) {
            auto row = loadButterfly(key);
            if (row) {
                batch.carriedBefore[key] = row->codes;
                cached = batch.butterflies.emplace(key, std::move(*row)).first;
            }
        }
        if (cached != batch.butterflies.end() && cached->second.last < event.order) {
            Butterfly& b = cached->second;
            const auto codesBefore = b.codes;
            const bool neededNewer = b.needsNewer;
            const std::string deviceBefore = b.device;
            butterfly::step(b, event);
            batch.changedButterflies.insert(key);
            // Most lines leave its tags as they were; then nothing about them has to be derived.
            if (b.codes != codesBefore || b.needsNewer != neededNewer || b.device != deviceBefore)
                for (const auto& carried : b.codes)
                    batch.codes.insert(carried.code);
            return;
        }
    }
    batch.refold.insert(key);
}

void Projections::deriveErasures() {
    prepared("DELETE FROM erased").exec();
    for (const Entry& entry : entriesTouching(std::string(journal::kErasuresSubject))) {
        const auto blob = journal::hashFromHex(
            entry.line ? journal::textIn(entry.line->body, "blob").value_or("") : std::string_view());
        // Only an office erases; where no station has been founded, whoever holds the phone. What is erased stays so:
        // amendments don't count.
        if (!blob || (!m_roles.station().empty() && !isOffice(entry.device, entry.order())))
            continue;
        auto& insert = prepared("INSERT INTO erased (blob) VALUES (?) ON CONFLICT DO NOTHING");
        insert.bind(1, journal::hexOf(*blob));
        insert.exec();
    }
}

// Folding -----------------------------------------------------------------------------------------------------

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

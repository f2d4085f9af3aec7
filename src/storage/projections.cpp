// Opening, committing, and how far each chain has been taken. Taking lines: projections_take.cpp; folding subjects and
// what follows from them: projections_fold.cpp; rows: projections_rows.cpp; what others read: projections_read.cpp.
#include "storage/projections.h"

#include "storage/embedded_sql.h"
#include "storage/sqlite_errors.h"

#include <SQLiteCpp/Backup.h>
#include <SQLiteCpp/SQLiteCpp.h>
#include <algorithm>
#include <filesystem>
#include <sqlite3.h>

namespace discal::storage {

namespace {

/// One thread at a time uses the connection: locking it for each call would be 6 % of a rebuild.
constexpr int kAlone = SQLITE_OPEN_NOMUTEX;

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

} // namespace discal::storage

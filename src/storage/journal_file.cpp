#include "storage/journal_file.h"

#include "core/text/base_n.h"
#include "storage/durable_file.h"
#include "storage/embedded_sql.h"
#include "storage/sqlite_errors.h"

#include <SQLiteCpp/SQLiteCpp.h>
#include <algorithm>
#include <sqlite3.h>
#include <unistd.h>

namespace discal::storage {

using journal::DeviceId;
using journal::Hash;
using journal::Head;

namespace {

std::string uriOf(const std::filesystem::path& path, std::string_view query) {
    // RFC 3986: whatever has a meaning in a URI is percent-encoded.
    std::string out = "file:";
    for (const char c : path.string()) {
        if (c == '?' || c == '#' || c == '%') {
            out += '%';
            out += text::hex(std::array{static_cast<std::uint8_t>(c)});
        } else {
            out += c;
        }
    }
    return out + std::string(query);
}

bool isInReadOnlyFolder(const std::filesystem::path& file) {
    const auto folder = file.has_parent_path() ? file.parent_path() : std::filesystem::path(".");
    return ::access(folder.c_str(), W_OK) != 0;
}

/// An empty -wal holds nothing: readers leave one behind, since only a writer may tidy up.
bool hasCommitsInWal(const std::filesystem::path& file) {
    std::error_code ec;
    const auto size = std::filesystem::file_size(file.string() + "-wal", ec);
    return !ec && size > 0;
}

std::unique_ptr<SQLite::Database> openDatabase(const Place& place, JournalFile::Access access) {
    constexpr int kBusyMs = 2000;
    if (access == JournalFile::Access::Write)
        return std::make_unique<SQLite::Database>(place.database.string(), SQLite::OPEN_READWRITE | SQLite::OPEN_CREATE,
                                                  kBusyMs, place.vfs);
    if (place.vfs.empty() && isInReadOnlyFolder(place.database) && !hasCommitsInWal(place.database))
        return std::make_unique<SQLite::Database>(uriOf(place.database, "?immutable=1"),
                                                  SQLite::OPEN_READONLY | SQLITE_OPEN_URI, kBusyMs);
    return std::make_unique<SQLite::Database>(place.database.string(), SQLite::OPEN_READONLY, kBusyMs, place.vfs);
}

/// Whether the file has one page at most, and so no table: all that is ever written without the -wal.
bool isOnePage(SQLite::Database& db) {
    sqlite3_file* file = nullptr;
    sqlite3_int64 size = 0;
    constexpr sqlite3_int64 kPage = 4096;
    return sqlite3_file_control(db.getHandle(), "main", SQLITE_FCNTL_FILE_POINTER, &file) == SQLITE_OK &&
           file->pMethods != nullptr && file->pMethods->xFileSize(file, &size) == SQLITE_OK && size <= kPage;
}

Hash hashOf(const SQLite::Column& column) {
    Hash hash{};
    if (column.getBytes() == static_cast<int>(hash.size()))
        std::memcpy(hash.data(), column.getBlob(), hash.size());
    return hash;
}

std::string bytesOf(const SQLite::Column& column) {
    return {static_cast<const char*>(column.getBlob()), static_cast<std::size_t>(column.getBytes())};
}

void bindBytes(SQLite::Statement& statement, int at, std::string_view bytes) {
    statement.bindNoCopy(at, bytes.data(), static_cast<int>(bytes.size()));
}

void bindHash(SQLite::Statement& statement, int at, const Hash& hash) {
    statement.bindNoCopy(at, hash.data(), static_cast<int>(hash.size()));
}

} // namespace

Result<Blob> makeBlob(const std::array<std::uint8_t, 16>& random, std::string_view content) {
    if (content.size() > kLargestBlobContent)
        return fail(Code::OutOfRange, "blob", static_cast<std::int64_t>(content.size()));
    Blob blob;
    blob.bytes.assign(reinterpret_cast<const char*>(random.data()), random.size());
    blob.bytes += content;
    blob.sha256 = journal::sha256(blob.bytes);
    return blob;
}

struct JournalFile::Statements {
    explicit Statements(SQLite::Database& db)
        : begin(db, "BEGIN IMMEDIATE"), commit(db, "COMMIT"), rollback(db, "ROLLBACK"),
          insertEntry(db, "INSERT INTO entry (device, seq, line, hash) VALUES (?, ?, ?, ?)"),
          insertBlob(db, "INSERT INTO blob (sha256, bytes) VALUES (?, ?) ON CONFLICT DO NOTHING"),
          selectLine(db, "SELECT line FROM entry WHERE device = ? AND seq = ?"),
          selectHash(db, "SELECT hash FROM entry WHERE device = ? AND seq = ?"),
          selectHead(db, "SELECT seq, hash FROM entry WHERE device = ? ORDER BY seq DESC LIMIT 1") {}

    SQLite::Statement begin;
    SQLite::Statement commit;
    SQLite::Statement rollback;
    SQLite::Statement insertEntry;
    SQLite::Statement insertBlob;
    SQLite::Statement selectLine;
    SQLite::Statement selectHash;
    SQLite::Statement selectHead;
};

int newestSchema() { return static_cast<int>(embedded::migrations().back().number); }

JournalFile::JournalFile(Place place, Access access) : m_place(std::move(place)) {
    m_db = openDatabase(m_place, access);
}

JournalFile::~JournalFile() = default;

Result<std::unique_ptr<JournalFile>> JournalFile::open(const Place& place, Access access) {
    return guarded([&]() -> Result<std::unique_ptr<JournalFile>> {
        // Look before touching: a file of a newer Discal, or somebody else's, must come out unharmed.
        bool isNew = false;
        std::unique_ptr<SQLite::Database> look;
        try {
            look = openDatabase(place, Access::Read);
            const int application = look->execAndGet("PRAGMA application_id").getInt();
            const int schema = look->execAndGet("PRAGMA user_version").getInt();
            if (application == 0 && schema == 0 &&
                look->execAndGet("SELECT count(*) FROM sqlite_schema").getInt() == 0)
                isNew = true;
            else if (application != kApplicationId)
                return fail(Code::NotAJournal, place.database.string());
            else if (schema > newestSchema())
                return fail(Code::NewerFile, place.database.string(), schema);
        } catch (const SQLite::Exception& e) {
            if ((e.getErrorCode() & 0xFF) == SQLITE_NOTADB)
                return fail(Code::NotAJournal, place.database.string());
            // Power was lost while the file was made: a reader can't undo its beginning, the writer will.
            const bool isHalfMade = look && e.getExtendedErrorCode() == SQLITE_READONLY_ROLLBACK && isOnePage(*look);
            if ((e.getErrorCode() & 0xFF) != SQLITE_CANTOPEN && !isHalfMade)
                throw;
            isNew = true;
        }
        look.reset();
        if (isNew && access == Access::Read)
            return fail(Code::NotFound, place.database.string());
        std::unique_ptr<JournalFile> file(new JournalFile(place, access));
        file->configure(access);
        if (access == Access::Write)
            file->migrate();
        file->m_statements = std::make_unique<Statements>(*file->m_db);
        return file;
    });
}

void JournalFile::configure(Access access) {
    if (access == Access::Read) {
        m_db->exec("PRAGMA query_only = ON");
        m_db->exec("PRAGMA temp_store = MEMORY");
        return;
    }
    m_db->exec("PRAGMA journal_mode = WAL");
    m_db->exec("PRAGMA synchronous = FULL");
    m_db->exec("PRAGMA fullfsync = ON");
    m_db->exec("PRAGMA checkpoint_fullfsync = ON");
    m_db->exec("PRAGMA wal_autocheckpoint = 0");
    m_db->exec("PRAGMA recursive_triggers = ON");
    m_db->exec("PRAGMA temp_store = MEMORY");
    m_db->exec("PRAGMA secure_delete = ON");
    m_db->exec("PRAGMA foreign_keys = ON");
    // Counts the frames of the -wal after each commit; checkpoints are ours to call.
    sqlite3_wal_hook(
        m_db->getHandle(),
        [](void* self, sqlite3*, const char*, int pages) {
            static_cast<JournalFile*>(self)->m_walPages = pages;
            return SQLITE_OK;
        },
        this);
}

void JournalFile::migrate() {
    const int schema = m_db->execAndGet("PRAGMA user_version").getInt();
    for (const auto& migration : embedded::migrations()) {
        if (migration.number <= schema)
            continue;
        m_db->exec("BEGIN IMMEDIATE");
        try {
            m_db->exec(std::string(migration.sql));
            m_db->exec("PRAGMA application_id = " + std::to_string(kApplicationId));
            m_db->exec("PRAGMA user_version = " + std::to_string(migration.number));
            m_db->exec("COMMIT");
        } catch (...) {
            if (sqlite3_get_autocommit(m_db->getHandle()) == 0)
                m_db->exec("ROLLBACK");
            throw;
        }
    }
}

void JournalFile::inCommit(const std::function<void()>& work) {
    auto& s = *m_statements;
    const auto run = [](SQLite::Statement& statement) {
        statement.tryReset();
        statement.exec();
        statement.reset();
    };
    run(s.begin);
    try {
        work();
        run(s.commit);
    } catch (...) {
        // SQLite has rolled back by itself after some errors (full disk, I/O).
        if (sqlite3_get_autocommit(m_db->getHandle()) == 0) {
            s.commit.tryReset();
            s.rollback.tryReset();
            try {
                run(s.rollback);
            } catch (const SQLite::Exception&) {
                s.rollback.tryReset();
            }
        }
        throw;
    }
}

Result<std::vector<Chain>> JournalFile::chains() {
    return guarded([&]() -> Result<std::vector<Chain>> {
        std::vector<Chain> out;
        SQLite::Statement devices(*m_db,
                                  "SELECT id, public_key, head_seq, head_hash, head_jws FROM device ORDER BY id");
        while (devices.executeStep()) {
            Chain chain;
            const auto id = DeviceId::parse(devices.getColumn(0).getString());
            if (!id)
                return fail(Code::Corrupt, "device");
            chain.device = *id;
            chain.publicKey = hashOf(devices.getColumn(1));
            chain.signedHead = {devices.getColumn(2).getInt64(), hashOf(devices.getColumn(3))};
            if (!devices.getColumn(4).isNull())
                chain.jws = devices.getColumn(4).getString();
            auto& head = m_statements->selectHead;
            head.tryReset();
            head.bind(1, chain.device.text());
            chain.head = head.executeStep() ? Head{head.getColumn(0).getInt64(), hashOf(head.getColumn(1))}
                                            : Head{0, journal::chainStart(chain.publicKey)};
            head.tryReset();
            out.push_back(std::move(chain));
        }
        return out;
    });
}

Result<std::optional<Chain>> JournalFile::chain(const DeviceId& device) {
    auto all = chains();
    if (!all)
        return fail(all.error());
    for (auto& chain : *all)
        if (chain.device == device)
            return std::optional(std::move(chain));
    return std::optional<Chain>();
}

Result<std::optional<std::string>> JournalFile::line(const DeviceId& device, std::int64_t seq) {
    return guarded([&]() -> Result<std::optional<std::string>> {
        auto& select = m_statements->selectLine;
        select.tryReset();
        select.bind(1, device.text());
        select.bind(2, seq);
        std::optional<std::string> out;
        if (select.executeStep())
            out = bytesOf(select.getColumn(0));
        select.tryReset();
        return out;
    });
}

Result<std::optional<Hash>> JournalFile::hash(const DeviceId& device, std::int64_t seq) {
    return guarded([&]() -> Result<std::optional<Hash>> {
        if (seq == 0) {
            SQLite::Statement key(*m_db, "SELECT public_key FROM device WHERE id = ?");
            key.bind(1, device.text());
            if (!key.executeStep())
                return std::optional<Hash>();
            return std::optional(journal::chainStart(hashOf(key.getColumn(0))));
        }
        auto& select = m_statements->selectHash;
        select.tryReset();
        select.bind(1, device.text());
        select.bind(2, seq);
        std::optional<Hash> out;
        if (select.executeStep())
            out = hashOf(select.getColumn(0));
        select.tryReset();
        return out;
    });
}

Result<std::vector<ForkLine>> JournalFile::forks() {
    return guarded([&]() -> Result<std::vector<ForkLine>> {
        std::vector<ForkLine> out;
        SQLite::Statement select(*m_db, "SELECT device, seq, hash, line FROM fork ORDER BY device, seq, hash");
        while (select.executeStep())
            out.push_back({DeviceId::parse(select.getColumn(0).getString()).value_or(DeviceId()),
                           select.getColumn(1).getInt64(), hashOf(select.getColumn(2)),
                           bytesOf(select.getColumn(3))});
        return out;
    });
}

Result<std::optional<std::string>> JournalFile::forkLine(const DeviceId& device, std::int64_t seq,
                                                         const std::string& hashHex) {
    return guarded([&]() -> Result<std::optional<std::string>> {
        const auto hash = journal::hashFromHex(hashHex);
        if (!hash)
            return fail(hash.error());
        SQLite::Statement select(*m_db, "SELECT line FROM fork WHERE device = ? AND seq = ? AND hash = ?");
        select.bind(1, device.text());
        select.bind(2, seq);
        bindHash(select, 3, *hash);
        return select.executeStep() ? std::optional(bytesOf(select.getColumn(0))) : std::nullopt;
    });
}

Result<void> JournalFile::visit(const DeviceId& device, std::int64_t fromSeq, const LineVisitor& visitor) {
    return guarded([&]() -> Result<void> {
        SQLite::Statement select(*m_db,
                                 "SELECT seq, line, hash FROM entry WHERE device = ? AND seq >= ? ORDER BY seq");
        select.bind(1, device.text());
        select.bind(2, fromSeq);
        while (select.executeStep()) {
            const SQLite::Column line = select.getColumn(1);
            if (!visitor(select.getColumn(0).getInt64(),
                         {static_cast<const char*>(line.getBlob()), static_cast<std::size_t>(line.getBytes())},
                         hashOf(select.getColumn(2))))
                break;
        }
        return {};
    });
}

Result<std::optional<Blob>> JournalFile::blob(const Hash& sha256) {
    return guarded([&]() -> Result<std::optional<Blob>> {
        SQLite::Statement select(*m_db, "SELECT bytes FROM blob WHERE sha256 = ?");
        bindHash(select, 1, sha256);
        if (!select.executeStep())
            return std::optional<Blob>();
        return std::optional(Blob{sha256, bytesOf(select.getColumn(0))});
    });
}

Result<std::vector<Hash>> JournalFile::blobNames() {
    return guarded([&]() -> Result<std::vector<Hash>> {
        std::vector<Hash> out;
        SQLite::Statement select(*m_db, "SELECT sha256 FROM blob ORDER BY sha256");
        while (select.executeStep())
            out.push_back(hashOf(select.getColumn(0)));
        return out;
    });
}

JournalFile::Snapshot::Snapshot(JournalFile& file) : m_file(file) {
    if (sqlite3_get_autocommit(m_file.m_db->getHandle()) != 0) {
        sqlite3_exec(m_file.m_db->getHandle(), "BEGIN", nullptr, nullptr, nullptr);
        sqlite3_exec(m_file.m_db->getHandle(), "SELECT 1 FROM device LIMIT 1", nullptr, nullptr, nullptr);
    }
}

JournalFile::Snapshot::~Snapshot() {
    if (sqlite3_get_autocommit(m_file.m_db->getHandle()) == 0)
        sqlite3_exec(m_file.m_db->getHandle(), "COMMIT", nullptr, nullptr, nullptr);
}

Result<std::optional<std::string>> JournalFile::local(const std::string& name) {
    return guarded([&]() -> Result<std::optional<std::string>> {
        SQLite::Statement select(*m_db, "SELECT value FROM local WHERE name = ?");
        select.bind(1, name);
        return select.executeStep() ? std::optional(select.getColumn(0).getString()) : std::nullopt;
    });
}

Result<void> JournalFile::addDevice(const DeviceId& device, const journal::PublicKey& key) {
    return guarded([&]() -> Result<void> {
        if (DeviceId::of(key) != device)
            return fail(Code::WrongDevice, device.text());
        inCommit([&] {
            SQLite::Statement insert(*m_db, "INSERT INTO device (id, public_key, head_seq, head_hash) "
                                            "VALUES (?, ?, 0, ?) ON CONFLICT DO NOTHING");
            insert.bind(1, device.text());
            bindHash(insert, 2, key);
            const Hash start = journal::chainStart(key);
            bindHash(insert, 3, start);
            insert.exec();
        });
        return {};
    });
}

void JournalFile::insertLines(const DeviceId& device, Head& head, const std::vector<std::string>& lines) {
    auto& insert = m_statements->insertEntry;
    for (const std::string& line : lines) {
        const Hash hash = journal::chainNext(head.hash, line);
        insert.tryReset();
        insert.bindNoCopy(1, device.text());
        insert.bind(2, head.seq + 1);
        bindBytes(insert, 3, line);
        bindHash(insert, 4, hash);
        insert.exec();
        insert.tryReset();
        head = {head.seq + 1, hash};
    }
}

void JournalFile::insertBlobs(const std::vector<Blob>& blobs) {
    auto& insert = m_statements->insertBlob;
    for (const Blob& blob : blobs) {
        insert.tryReset();
        bindHash(insert, 1, blob.sha256);
        bindBytes(insert, 2, blob.bytes);
        insert.exec();
        insert.tryReset();
    }
}

void JournalFile::putLocal(const Local& local) {
    SQLite::Statement put(*m_db, "INSERT INTO local (name, value) VALUES (?, ?) "
                                 "ON CONFLICT (name) DO UPDATE SET value = excluded.value");
    put.bind(1, local.name);
    put.bind(2, local.value);
    put.exec();
}

Result<Head> JournalFile::append(const DeviceId& device, const Head& head,
                                 const std::vector<std::string>& lines, const std::vector<Blob>& blobs,
                                 const std::vector<Local>& locals) {
    return guarded([&]() -> Result<Head> {
        Head moved = head;
        inCommit([&] {
            insertLines(device, moved, lines);
            insertBlobs(blobs);
            for (const Local& local : locals)
                putLocal(local);
        });
        return moved;
    });
}

Result<Head> JournalFile::arrive(const Arrival& arrival) {
    return guarded([&]() -> Result<Head> {
        Head moved = arrival.before;
        inCommit([&] {
            insertLines(arrival.device, moved, arrival.fresh);
            for (const ForkLine& fork : arrival.forked) {
                SQLite::Statement insert(
                    *m_db, "INSERT INTO fork (device, seq, hash, line) VALUES (?, ?, ?, ?) ON CONFLICT DO NOTHING");
                insert.bind(1, fork.device.text());
                insert.bind(2, fork.seq);
                bindHash(insert, 3, fork.hash);
                bindBytes(insert, 4, fork.line);
                insert.exec();
            }
            insertBlobs(arrival.blobs);
            if (arrival.signedHead) {
                SQLite::Statement update(*m_db, "UPDATE device SET head_seq = ?, head_hash = ?, head_jws = ? "
                                                "WHERE id = ? AND head_seq <= ?");
                update.bind(1, arrival.signedHead->seq);
                bindHash(update, 2, arrival.signedHead->hash);
                update.bind(3, arrival.jws);
                update.bind(4, arrival.device.text());
                update.bind(5, arrival.signedHead->seq);
                update.exec();
            }
        });
        return moved;
    });
}

Result<void> JournalFile::setSignedHead(const DeviceId& device, const Head& head, const std::string& jws) {
    return guarded([&]() -> Result<void> {
        inCommit([&] {
            SQLite::Statement update(*m_db,
                                     "UPDATE device SET head_seq = ?, head_hash = ?, head_jws = ? WHERE id = ?");
            update.bind(1, head.seq);
            bindHash(update, 2, head.hash);
            update.bind(3, jws);
            update.bind(4, device.text());
            update.exec();
        });
        return {};
    });
}

Result<void> JournalFile::setLocal(const std::string& name, const std::string& value) {
    return guarded([&]() -> Result<void> {
        inCommit([&] { putLocal({name, value}); });
        return {};
    });
}

Result<void> JournalFile::setDraft(const std::string& page, const std::string& field, const std::string& value) {
    return guarded([&]() -> Result<void> {
        inCommit([&] {
            SQLite::Statement put(*m_db, "INSERT INTO draft (page, field, value) VALUES (?, ?, ?) "
                                         "ON CONFLICT (page, field) DO UPDATE SET value = excluded.value");
            put.bind(1, page);
            put.bind(2, field);
            put.bind(3, value);
            put.exec();
        });
        return {};
    });
}

Result<std::optional<std::string>> JournalFile::draft(const std::string& page, const std::string& field) {
    return guarded([&]() -> Result<std::optional<std::string>> {
        SQLite::Statement select(*m_db, "SELECT value FROM draft WHERE page = ? AND field = ?");
        select.bind(1, page);
        select.bind(2, field);
        return select.executeStep() ? std::optional(select.getColumn(0).getString()) : std::nullopt;
    });
}

Result<void> JournalFile::eraseBlobs(const std::vector<Hash>& names) {
    return guarded([&]() -> Result<void> {
        if (!names.empty())
            inCommit([&] {
                SQLite::Statement erase(*m_db, "DELETE FROM blob WHERE sha256 = ?");
                for (const Hash& name : names) {
                    erase.reset();
                    bindHash(erase, 1, name);
                    erase.exec();
                }
                // What is half typed may say the same.
                m_db->exec("DELETE FROM draft");
                m_db->exec("INSERT INTO local (name, value) VALUES ('erasing', '1') ON CONFLICT DO NOTHING");
            });
        const auto erasing = local("erasing");
        if (!erasing)
            return fail(erasing.error());
        // secure_delete zeroes what is freed, but cells that moved when pages were merged have left copies in the free
        // room of those pages: the file is written anew, without them.
        if (*erasing)
            m_db->exec("VACUUM");
        // The -wal still holds the old pages: move them, then cut it to nothing.
        int left = 0;
        int moved = 0;
        const int rc =
            sqlite3_wal_checkpoint_v2(m_db->getHandle(), nullptr, SQLITE_CHECKPOINT_TRUNCATE, &left, &moved);
        if (rc != SQLITE_OK)
            throw SQLite::Exception(m_db->getHandle(), rc);
        m_walPages = 0;
        if (*erasing)
            inCommit([&] { m_db->exec("DELETE FROM local WHERE name = 'erasing'"); });
        return {};
    });
}

Result<void> JournalFile::checkpoint(Wal wal) {
    return guarded([&]() -> Result<void> {
        int left = 0;
        int moved = 0;
        const int rc = sqlite3_wal_checkpoint_v2(
            m_db->getHandle(), nullptr, wal == Wal::Cut ? SQLITE_CHECKPOINT_TRUNCATE : SQLITE_CHECKPOINT_PASSIVE, &left,
            &moved);
        // Busy only means that a reader still needs the rest: the next idle moment will do.
        if (rc != SQLITE_OK && rc != SQLITE_BUSY)
            throw SQLite::Exception(m_db->getHandle(), rc);
        if (rc == SQLITE_OK && left == moved)
            m_walPages = 0;
        return {};
    });
}

void JournalFile::growWal() {
    // About 300 taps, which is a long day. The zeros are no frames to SQLite: it reads up to the first that isn't one.
    constexpr sqlite3_int64 kRoom = sqlite3_int64{4} << 20;
    sqlite3_file* wal = nullptr;
    sqlite3_int64 size = 0;
    if (sqlite3_file_control(m_db->getHandle(), "main", SQLITE_FCNTL_JOURNAL_POINTER, &wal) != SQLITE_OK ||
        wal == nullptr || wal->pMethods == nullptr || wal->pMethods->xFileSize(wal, &size) != SQLITE_OK ||
        size >= kRoom)
        return;
    const std::vector<char> zeros(std::size_t{64} << 10);
    sqlite3_int64 end = size;
    int rc = SQLITE_OK;
    while (rc == SQLITE_OK && end < kRoom) {
        const auto part = std::min<sqlite3_int64>(static_cast<sqlite3_int64>(zeros.size()), kRoom - end);
        rc = wal->pMethods->xWrite(wal, zeros.data(), static_cast<int>(part), end);
        end += part;
    }
    if (rc == SQLITE_OK)
        rc = wal->pMethods->xSync(wal, SQLITE_SYNC_NORMAL);
    if (rc != SQLITE_OK)
        (void)wal->pMethods->xTruncate(wal, size);
}

Result<void> JournalFile::copyTo(const std::filesystem::path& target) {
    return guarded([&]() -> Result<void> {
        if (m_place.vfs.empty() && std::filesystem::exists(target))
            return fail(Code::Exists, target.string());
        const std::string part = target.string() + ".part";
        if (m_place.vfs.empty())
            std::filesystem::remove(part);  // left by an interrupted copy
        // A reader may copy: the file it reads stays read-only, but query_only would refuse the new one too.
        const bool isReader = m_db->execAndGet("PRAGMA query_only").getInt() != 0;
        try {
            m_db->exec("PRAGMA query_only = OFF");
            SQLite::Statement copy(*m_db, "VACUUM INTO ?");
            copy.bind(1, part);
            copy.exec();
            if (isReader)
                m_db->exec("PRAGMA query_only = ON");
            SQLite::Database made(part, SQLite::OPEN_READWRITE, 2000, m_place.vfs);
            made.exec("PRAGMA secure_delete = ON");
            made.exec("DELETE FROM draft");
        } catch (...) {
            if (isReader)
                m_db->exec("PRAGMA query_only = ON");
            // A part of a copy would only take the room that there isn't.
            std::error_code ec;
            if (m_place.vfs.empty())
                for (const char* suffix : {"", "-journal"})
                    std::filesystem::remove(part + suffix, ec);
            throw;
        }
        if (m_place.vfs.empty())
            return renameDurably(part, target);
        return {};
    });
}

Result<VerifyReport> JournalFile::verify(std::optional<std::int64_t> tail,
                                         const std::function<void(std::int64_t)>& progress) {
    return guarded([&]() -> Result<VerifyReport> {
        VerifyReport report;
        const auto found = chains();
        if (!found)
            return fail(found.error());
        if (!tail) {
            SQLite::Statement check(*m_db, "PRAGMA quick_check(10)");
            while (check.executeStep())
                if (const std::string said = check.getColumn(0).getString(); said != "ok")
                    report.faults.push_back({{}, 0, Code::Corrupt, said});
        }
        for (const Chain& chain : *found) {
            if (DeviceId::of(chain.publicKey) != chain.device)
                report.faults.push_back({chain.device, 0, Code::WrongDevice, ""});
            const std::int64_t from = tail ? std::max<std::int64_t>(1, chain.head.seq - *tail + 1) : 1;
            const auto start = hash(chain.device, from - 1);
            if (!start)
                return fail(start.error());
            if (!*start) {
                report.faults.push_back({chain.device, from - 1, Code::Gap, ""});
                continue;
            }
            Hash previous = **start;
            std::int64_t expected = from;
            std::optional<Hash> atSignedHead;
            if (chain.signedHead.seq == 0)
                atSignedHead = journal::chainStart(chain.publicKey);
            const auto visited = visit(chain.device, from, [&](std::int64_t seq, std::string_view line, const Hash& h) {
                if (seq != expected)
                    report.faults.push_back({chain.device, expected, Code::Gap, ""});
                if (journal::chainNext(previous, line) != h)
                    report.faults.push_back({chain.device, seq, Code::BrokenChain, ""});
                if (seq == chain.signedHead.seq)
                    atSignedHead = h;
                previous = h;
                expected = seq + 1;
                ++report.lines;
                if (progress && report.lines % 4096 == 0)
                    progress(report.lines);
                return report.faults.size() < 100;
            });
            if (!visited)
                return fail(visited.error());
            if (chain.jws) {
                if (!journal::verifyHead(chain.publicKey, chain.signedHead, *chain.jws))
                    report.faults.push_back({chain.device, chain.signedHead.seq, Code::BadSignature, ""});
                if (chain.signedHead.seq >= from && (!atSignedHead || *atSignedHead != chain.signedHead.hash))
                    report.faults.push_back({chain.device, chain.signedHead.seq, Code::BrokenChain, "signed head"});
            }
        }
        if (!tail && report.faults.empty()) {
            // A damaged key in the middle of the table can hide lines from every search by key, and quick_check does
            // not look at the order of keys. Counting walks all pages.
            SQLite::Statement count(*m_db, "SELECT count(*) FROM entry");
            count.executeStep();
            if (const std::int64_t there = count.getColumn(0).getInt64(); there != report.lines)
                report.faults.push_back({{}, 0, Code::Corrupt, std::to_string(there) + " lines, of which " +
                                                                   std::to_string(report.lines) + " are found"});
        }
        if (!tail) {
            SQLite::Statement blobs(*m_db, "SELECT sha256, bytes FROM blob");
            while (blobs.executeStep()) {
                ++report.blobs;
                if (journal::sha256(bytesOf(blobs.getColumn(1))) != hashOf(blobs.getColumn(0)))
                    report.faults.push_back({{}, 0, Code::Corrupt, "blob " + journal::hexOf(hashOf(blobs.getColumn(0)))});
            }
        }
        return report;
    });
}

} // namespace discal::storage
